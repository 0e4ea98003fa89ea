package app

import (
	"context"
	"strings"

	"trug"
	"trug/internal/store"
)

// numbering gives out field numbers: those that follow the highest one in
// use, but none that is in use and none that stands on a printed slip, since
// that slip may lie with a find that nobody has entered yet.
type numbering struct {
	code   string
	last   int
	ranges []trug.SlipRange
}

// numberingOf begins after the highest number in use that was not on a slip:
// a few slips with high numbers, typed in early, leave no gap behind them.
func (l *ledger) numberingOf(ranges []trug.SlipRange) *numbering {
	n := &numbering{code: l.season.Code, last: max(l.season.NumbersFrom-1, 0), ranges: ranges}
	for i := len(l.inOrder) - 1; i >= 0; i-- {
		if figure := numberOf(l.inOrder[i].Number); !n.reserved(figure) {
			n.last = max(n.last, figure)
			break
		}
	}
	return n
}

// reserved reports whether the figure stands on a printed slip.
func (n *numbering) reserved(figure int) bool {
	for _, r := range n.ranges {
		if r.Holds(figure) {
			return true
		}
	}
	return false
}

// next returns the next number that stands on no slip; whether a record bears
// it is the caller's to ask.
func (n *numbering) next() string {
	for n.last++; n.reserved(n.last); n.last++ {
	}
	return trug.FieldNumber(n.code, n.last)
}

// free returns the next number that no record of the store bears.
func (n *numbering) free(ctx context.Context, r store.Reader, season trug.ID) (string, error) {
	for {
		number := n.next()
		if used, err := numberUsed(ctx, r, season, number); err != nil || !used {
			return number, err
		}
	}
}

func numberUsed(ctx context.Context, r store.Reader, season trug.ID, number string) (bool, error) {
	_, err := store.ByKey[trug.Record](ctx, r, season, number)
	if err != nil && trug.KindOf(err) == trug.NotFound {
		return false, nil
	}
	return err == nil, err
}

// nextNumber returns the next free field number of the season, for a record
// that is written in the same transaction.
func nextNumber(ctx context.Context, w store.Writer, l *ledger) (string, error) {
	ranges, err := store.List[trug.SlipRange](ctx, w, store.Filter{Season: l.season.ID})
	if err != nil {
		return "", err
	}
	return l.numberingOf(ranges).free(ctx, w, l.season.ID)
}

// readNumber reads a field number as people write it: whole, or the figure
// alone.
func (l *ledger) readNumber(text string) (string, error) {
	text = strings.ToUpper(strings.TrimSpace(text))
	figure, _ := strings.CutPrefix(text, l.season.Code+"-")
	if figure == "" || strings.Trim(figure, "0123456789") != "" || len(figure) > 6 {
		return "", trug.Errorf(trug.Invalid, "number", "%q is no field number of this season: write it as %s-0301, or the figure alone", text, l.season.Code)
	}
	n := numberOf("-" + figure)
	if n == 0 {
		return "", trug.Errorf(trug.Invalid, "number", "%q is no field number: they begin at 1", text)
	}
	return trug.FieldNumber(l.season.Code, n), nil
}
