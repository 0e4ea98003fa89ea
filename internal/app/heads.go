package app

import (
	"context"
	"time"

	"trug"
	"trug/internal/store"
)

// GivenHeads is a count of heads by whoever leads a foray.
type GivenHeads struct {
	Back   bool      `json:"back,omitempty" doc:"Who is back; left out: who set out"`
	People int       `json:"people" minimum:"1" maximum:"10000"`
	At     time.Time `json:"at,omitzero" doc:"When it was counted, by the phone; left out: now"`
}

// ShownHeads are heads counted at a foray, for whoever keeps it.
type ShownHeads struct {
	Out    int    `json:"out,omitempty"`
	OutAt  string `json:"outAt,omitempty" doc:"Time of day by the clocks of the area"`
	Back   int    `json:"back,omitempty"`
	BackAt string `json:"backAt,omitempty"`
	// Away is how many are not back by these counts.
	Away int `json:"away"`
}

// countedLate is how long a count may have waited on a phone out of reach; what
// a phone's clock says beyond that, or of times to come, is not believed.
const countedLate = 7 * 24 * time.Hour

// CountHeads keeps how many set out on a foray or are back, as its leader
// counted them. Of two counts of one kind the one that was made later stands,
// whichever comes first. Who set out fills the headcount of the foray where it
// is blank.
func (a *App) CountHeads(ctx context.Context, v Viewer, id trug.ID, g GivenHeads) (ComingForay, error) {
	l, y, err := a.forayToKeep(ctx, v, id)
	if err != nil {
		return ComingForay{}, err
	}
	if g.People < 1 || g.People > 10000 {
		return ComingForay{}, trug.Errorf(trug.Invalid, "people", "count everybody, yourself and the children too: at least 1")
	}
	now := a.Clock().UTC()
	if late := now.Sub(g.At); g.At.IsZero() || late < 0 || late > countedLate {
		g.At = now
	}
	counted := &trug.Heads{People: g.People, At: g.At.UTC().Truncate(time.Second)}
	err = a.write(ctx, func(w store.Writer) error {
		if y, err = store.Get[trug.Foray](ctx, w, id); err != nil {
			return err
		}
		kept := &y.Out
		if g.Back {
			kept = &y.Back
		}
		if *kept != nil && (*kept).At.After(counted.At) {
			return nil
		}
		*kept = counted
		if !g.Back && y.People == 0 {
			y.People = g.People
		}
		return store.Put(ctx, w, y, a.author(v), a.Clock())
	})
	if err != nil {
		return ComingForay{}, err
	}
	return l.comingForay(v, y), nil
}

// shownHeads tells the counts of a foray; nil where nobody counted.
func (l *ledger) shownHeads(y trug.Foray) *ShownHeads {
	if y.Out == nil && y.Back == nil {
		return nil
	}
	clock := func(h *trug.Heads) (int, string) {
		if h == nil {
			return 0, ""
		}
		return h.People, h.At.In(zone(l.season)).Format("15:04")
	}
	h := &ShownHeads{Away: y.Away()}
	h.Out, h.OutAt = clock(y.Out)
	h.Back, h.BackAt = clock(y.Back)
	return h
}
