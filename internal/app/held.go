package app

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"trug"
	"trug/internal/store"
	"trug/science/key/asking"
	"trug/science/said"
)

// HeldSeason is what a phone takes along to work out of reach: what its person
// may know of the season, and no more. The ground and the names of the checklist are held beside it.
type HeldSeason struct {
	Season ShownSeason `json:"season"`
	// Emergency and PoisonCentre are the numbers that the coordinator set.
	Emergency    string        `json:"emergency,omitempty" doc:"Telephone number"`
	PoisonCentre string        `json:"poisonCentre,omitempty" doc:"Telephone number"`
	Sites        []HeldSite    `json:"sites"`
	Forays       []ComingForay `json:"forays"`
	// Nowhere says what people may be asked to do where nobody knows whose land it is.
	Nowhere []Ruling `json:"nowhere"`
	// Key is what the next question is chosen by.
	Key asking.HeldKey `json:"key"`
	// Records are the person's own latest ones, so that they can be changed out of reach.
	Records []HeldRecord `json:"records"`
}

// mostHeldRecords is how many of one's own records a phone takes along: those of some
// long days (our own judgement).
const mostHeldRecords = 60

// HeldRecord is a record of one's own as it stood when it was taken along.
type HeldRecord struct {
	ID      trug.ID   `json:"id"`
	Number  string    `json:"number"`
	Name    ShownName `json:"name"`
	Version int       `json:"version" doc:"Told with what is changed of it, so that nobody's later word is displaced"`
	// Editable is the record as its form has it.
	Editable EditableRecord `json:"editable"`
	// Known is what further questions about it go by.
	Known HeldKnown `json:"known"`
}

// HeldKnown is what is known of a record, so that the phone can ask more about it out
// of reach: by the same function as Questions, and the matrix that goes along. What
// settled finds taught and what is expected of place and time stays at the server,
// since both tell of other people's finds.
type HeldKnown struct {
	// Group and Answered are as in FindQuestions.
	Group    string           `json:"group"`
	Asked    asking.SpotAsked `json:"asked"`
	Answered []ShownAnswer    `json:"answered"`
	Said     said.Fields      `json:"said,omitempty"`
}

// HeldSite is the sheet of a site that the viewer may know.
type HeldSite struct {
	ID      trug.ID  `json:"id"`
	Code    string   `json:"code"`
	Name    string   `json:"name"`
	Hazards []string `json:"hazards"`
	Road    string   `json:"road,omitempty" doc:"Where the nearest road is, for those who must be fetched"`
	Meeting string   `json:"meeting,omitempty"`
	Rule    string   `json:"rule,omitempty"`
	Words   string   `json:"words,omitempty" doc:"What the manager allows, in their words"`
	// Rulings say what people may be asked to do there today.
	Rulings []Ruling  `json:"rulings"`
	Land    *HeldLand `json:"land,omitempty"`
}

// Held returns what a phone takes along.
func (a *App) Held(ctx context.Context, v Viewer) (HeldSeason, error) {
	l, err := a.open(ctx, v, TakeAlong)
	if err != nil {
		return HeldSeason{}, err
	}
	out := HeldSeason{Emergency: l.season.Emergency, PoisonCentre: l.season.PoisonCentre, Sites: []HeldSite{}, Records: []HeldRecord{}}
	if out.Season, err = a.Season(ctx, v); err != nil {
		return out, err
	}
	if out.Forays, err = a.ComingForays(ctx, v); err != nil {
		return out, err
	}
	if out.Key, err = a.heldKey(ctx, l); err != nil {
		return out, err
	}
	var told []trug.ID
	lands := l.landsTold()
	for id, s := range l.sites {
		if l.knows(v, id) {
			told = append(told, id)
			h := a.heldSite(l, s)
			if lands[id] {
				h.Land = l.heldLand(s, h)
			}
			out.Sites = append(out.Sites, h)
		}
	}
	out.Nowhere = l.rulings("", a.today(l.season))
	slices.SortFunc(out.Sites, func(x, y HeldSite) int { return cmp.Compare(x.Code, y.Code) })
	if out.Records, err = a.heldRecords(ctx, l, v); err != nil {
		return out, err
	}
	return out, a.noteSites(ctx, l, v, "taken along", told...)
}

// heldRecords lists the viewer's own latest records, the newest first.
func (a *App) heldRecords(ctx context.Context, l *ledger, v Viewer) ([]HeldRecord, error) {
	out := []HeldRecord{}
	k, err := a.keyOf(ctx, l)
	if err != nil {
		return out, err
	}
	err = a.Store.Read(ctx, func(r store.Reader) error {
		for _, f := range slices.Backward(l.inOrder) {
			if !v.is(f.RecorderID) || !f.stands() {
				continue
			}
			if len(out) == mostHeldRecords {
				break
			}
			version, err := l.versionOf(ctx, r, f.ID)
			if err != nil {
				return err
			}
			out = append(out, HeldRecord{ID: f.ID, Number: f.Number, Name: l.dayName(v, f), Version: version, Editable: *editable(f), Known: k.held(l, v, f)})
		}
		return nil
	})
	return out, err
}

// held is what a phone takes along of what is known of a find.
func (k *seasonKey) held(l *ledger, v Viewer, f *find) HeldKnown {
	known, measured := k.known(l, v, f)
	out := HeldKnown{Asked: asking.SpotAsked{Answers: asking.GivenAll(known.Answers), Views: notNil(known.Views), May: notNil(known.May)},
		Answered: k.listed(l, v, f, f.Description, measured)}
	out.Group, out.Said = groupOf(f)
	return out
}

// versionOf counts the amendments of a record: that is its version. Those made since
// the ledger was read are not in what it shows, so whoever is shown it has not seen them.
func (l *ledger) versionOf(ctx context.Context, r store.Reader, record trug.ID) (int, error) {
	history, err := r.History(ctx, store.Records, record)
	history = slices.DeleteFunc(history, func(c store.Amendment) bool { return c.Seq > l.seq })
	return len(history), err
}

func (a *App) heldSite(l *ledger, s trug.Site) HeldSite {
	h := HeldSite{ID: s.ID, Code: s.Code, Name: s.Name, Hazards: notNil(s.Hazards), Road: s.Road, Meeting: s.Meeting, Rule: s.Rule}
	if s.Permission != nil {
		h.Words = s.Permission.Words
	}
	h.Rulings = l.rulings(s.ID, a.today(l.season))
	return h
}

// heldKey returns the season's own words and matrix as phones hold them.
func (a *App) heldKey(ctx context.Context, l *ledger) (asking.HeldKey, error) {
	characters := ""
	if l.season.Key.Characters != "" {
		table, err := a.readKept(ctx, l.season.Key.Characters)
		if err != nil {
			return asking.HeldKey{}, fmt.Errorf("read the season's characters: %w", err)
		}
		characters = string(table)
	}
	if l.season.Key.Matrix == "" {
		return asking.Hold(characters, nil)
	}
	k, err := a.keyOf(ctx, l)
	if err != nil {
		return asking.HeldKey{}, err
	}
	return asking.Hold(characters, k.book)
}

// HeldName is a name of the checklist as phones hold it, to complete what
// somebody types.
type HeldName struct {
	Name string `json:"name"`
	// Accepted is the accepted name when this one is a synonym.
	Accepted string `json:"accepted,omitempty"`
}

// HeldNames returns the checklist by the alphabet. Which names are protected or
// have look-alikes is not in it.
func (a *App) HeldNames(ctx context.Context, v Viewer) ([]HeldName, error) {
	l, err := a.open(ctx, v, TakeAlong)
	if err != nil {
		return nil, err
	}
	out := []HeldName{}
	for _, t := range l.list.Taxa() {
		n := HeldName{Name: t.Name}
		if accepted, ok := l.list.Accepted(t.Name); ok && accepted.Name != t.Name {
			n.Accepted = accepted.Name
		}
		out = append(out, n)
	}
	slices.SortStableFunc(out, func(x, y HeldName) int { return cmp.Compare(x.Name, y.Name) })
	return slices.CompactFunc(out, func(x, y HeldName) bool { return x.Name == y.Name }), nil
}
