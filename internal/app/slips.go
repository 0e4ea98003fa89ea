package app

import (
	"context"
	"fmt"
	"slices"

	"trug"
	"trug/internal/store"
)

// ShownSlips is a run of numbers that was printed on field slips.
type ShownSlips struct {
	ID        trug.ID   `json:"id"`
	First     string    `json:"first" doc:"Field number of the first slip"`
	Last      string    `json:"last"`
	Count     int       `json:"count"`
	Foray     trug.ID   `json:"foray,omitempty"`
	ForayName string    `json:"forayName,omitempty"`
	By        string    `json:"by,omitempty" doc:"Who printed them first"`
	Printed   trug.Date `json:"printed" doc:"Day on which they were printed first"`
	Used      int       `json:"used" doc:"How many stand on a record"`
}

// GivenSlips asks for a run of numbers on slips.
type GivenSlips struct {
	Foray trug.ID `json:"foray,omitempty"`
	From  int     `json:"from,omitempty" doc:"Running figure of the first slip; blank or 0: after all that are used or printed"`
	Count int     `json:"count"`
}

// SlipRanges lists what was printed on slips, the latest first: all of it for
// the coordinator, for a leader what they printed and what is for their forays.
func (a *App) SlipRanges(ctx context.Context, v Viewer) ([]ShownSlips, error) {
	l, err := a.open(ctx, v, KeepForay)
	if err != nil {
		return nil, err
	}
	used := l.slipsUsed()
	var ranges []trug.SlipRange
	for _, r := range l.slips {
		if l.keepsSlips(v, r) {
			ranges = append(ranges, r)
		}
	}
	slices.SortFunc(ranges, func(x, y trug.SlipRange) int { return y.From - x.From })
	out := make([]ShownSlips, len(ranges))
	for i, r := range ranges {
		out[i] = l.shownSlipRange(r, used[r.ID])
	}
	return out, nil
}

// slipsUsed counts for each run how many of its numbers stand on a record,
// withdrawn ones too: their slips are used up.
func (l *ledger) slipsUsed() map[trug.ID]int {
	used := map[trug.ID]int{}
	for _, f := range l.finds {
		for _, r := range l.slips {
			if f.ID != "" && r.Holds(numberOf(f.Number)) {
				used[r.ID]++
			}
		}
	}
	return used
}

func (l *ledger) keepsSlips(v Viewer, r trug.SlipRange) bool {
	y, led := l.forays[r.ForayID]
	return v.has(trug.Coordinator) || v.is(r.By) || led && v.keeps(y)
}

func (l *ledger) shownSlipRange(r trug.SlipRange, used int) ShownSlips {
	s := ShownSlips{ID: r.ID, First: trug.FieldNumber(l.season.Code, r.From), Last: trug.FieldNumber(l.season.Code, r.Until()), Count: r.Count,
		Foray: r.ForayID, By: l.person(r.By), Printed: trug.DateOf(r.Created.In(zone(l.season))), Used: used}
	if y, ok := l.forays[r.ForayID]; ok {
		s.ForayName = y.Name
		if s.ForayName == "" {
			s.ForayName = y.Code
		}
	}
	return s
}

// ReserveSlips keeps a run of numbers for slips that are about to be printed:
// from then on the program gives none of them to a record by itself, and no
// other slips bear them. Asked again with the same identifier it returns the
// run as it is, so that a printing that failed is made again.
func (a *App) ReserveSlips(ctx context.Context, v Viewer, id trug.ID, g GivenSlips) (ShownSlips, error) {
	l, err := a.open(ctx, v, KeepForay)
	if err != nil {
		return ShownSlips{}, err
	}
	if !id.Valid() {
		return ShownSlips{}, badID()
	}
	if r, ok := l.slips[id]; ok {
		if !l.keepsSlips(v, r) {
			return ShownSlips{}, noSlips()
		}
		return l.shownSlipRange(r, l.slipsUsed()[id]), nil
	}
	if y, ok := l.forays[g.Foray]; g.Foray != "" && (!ok || !v.keeps(y)) {
		return ShownSlips{}, trug.Errorf(trug.NotAllowed, "foray", "Slips for a foray are printed by its leader and the coordinator.")
	}
	r := trug.SlipRange{ID: id, SeasonID: l.season.ID, ForayID: g.Foray, From: g.From, Count: g.Count, By: v.Person.ID, Created: a.Clock()}
	err = a.write(ctx, func(w store.Writer) error {
		printed, err := store.List[trug.SlipRange](ctx, w, store.Filter{Season: l.season.ID})
		if err != nil {
			return err
		}
		if g.From == 0 {
			r.From = l.afterAll(printed)
		}
		if err := r.Validate(); err != nil {
			return err
		}
		if err := l.unused(ctx, w, r, printed); err != nil {
			return err
		}
		return store.Put(ctx, w, r, a.author(v), a.Clock())
	})
	return l.shownSlipRange(r, 0), err
}

// afterAll returns the figure after all numbers that are used or printed.
func (l *ledger) afterAll(printed []trug.SlipRange) int {
	last := max(l.season.NumbersFrom-1, 0)
	for _, f := range l.finds {
		if f.ID != "" {
			last = max(last, numberOf(f.Number))
		}
	}
	for _, r := range printed {
		last = max(last, r.Until())
	}
	return last + 1
}

// unused returns an error that names the first number of the run that is on
// another slip or a record already. Numbers that records got since the ledger
// was read are moved past where the run was ours to choose.
func (l *ledger) unused(ctx context.Context, w store.Writer, r trug.SlipRange, printed []trug.SlipRange) error {
	for _, other := range printed {
		if r.Meets(other) {
			return trug.Errorf(trug.Conflict, "from", "%s to %s are on slips already: print those again, or leave the first number blank for the next ones",
				trug.FieldNumber(l.season.Code, max(r.From, other.From)), trug.FieldNumber(l.season.Code, min(r.Until(), other.Until())))
		}
	}
	for n := r.From; n <= r.Until(); n++ {
		number := trug.FieldNumber(l.season.Code, n)
		used, err := numberUsed(ctx, w, l.season.ID, number)
		if err != nil {
			return err
		}
		if used {
			return trug.Errorf(trug.Conflict, "from", "%s is a record's number already: leave the first number blank for the next ones that are free", number)
		}
	}
	return nil
}

func noSlips() error {
	return trug.Errorf(trug.NotFound, "slips", "There is no such run of slips here.")
}

// freeSlips lists the numbers printed for a foray that no record bears, in
// their order.
func (l *ledger) freeSlips(foray trug.ID, used func(number string) bool) []string {
	out := []string{}
	ranges := []trug.SlipRange{}
	for _, r := range l.slips {
		if r.ForayID == foray {
			ranges = append(ranges, r)
		}
	}
	slices.SortFunc(ranges, func(x, y trug.SlipRange) int { return x.From - y.From })
	for _, r := range ranges {
		for n := r.From; n <= r.Until(); n++ {
			if number := trug.FieldNumber(l.season.Code, n); !used(number) {
				out = append(out, number)
			}
		}
	}
	return out
}

// slipsPrinted returns the run that a sheet of slips is asked of.
func (l *ledger) slipsPrinted(v Viewer, id trug.ID) (trug.SlipRange, error) {
	r, ok := l.slips[id]
	if id == "" {
		return r, trug.Errorf(trug.Invalid, "slips", "slips are printed of a run of numbers that is kept: choose one under Field slips, or have a new one kept")
	}
	if !ok || !l.keepsSlips(v, r) {
		return r, noSlips()
	}
	return r, nil
}

// numbersOf writes the numbers of a run.
func (l *ledger) numbersOf(r trug.SlipRange) []string {
	out := make([]string, r.Count)
	for i := range out {
		out[i] = trug.FieldNumber(l.season.Code, r.From+i)
	}
	return out
}

// slipsFile names the file of a run, so that two of them don't overwrite each
// other where they are kept.
func (l *ledger) slipsFile(r trug.SlipRange) string {
	return fmt.Sprintf("slips-%04d-%04d", r.From, r.Until())
}
