package app

import (
	"cmp"
	"context"
	"slices"
	"strings"
	"time"

	"trug"
	"trug/internal/store"
	"trug/science/said"
)

// KeptWish is what somebody asked for, as they read it.
type KeptWish struct {
	// Pictures is set where the originals of their photographs are to go too.
	Pictures bool        `json:"pictures,omitempty"`
	Created  time.Time   `json:"created"`
	ByMe     bool        `json:"byMe" doc:"Whoever reads it asked; else the child or their adult did"`
	Open     bool        `json:"open" doc:"It waits for the coordinator"`
	Says     string      `json:"says" doc:"What became of it, in a set sentence"`
	Said     said.Fields `json:"said,omitempty"`
}

// wishSays are the set sentences on what became of a wish, for whoever asked.
var wishSays = map[trug.WishEnd]said.Words{
	"":                  "The coordinator has been told and takes the name out. Until then nothing changes, and you can change your mind.",
	trug.WishDone:       "The name was taken out.",
	trug.WishTakenBack:  "It was taken back.",
	trug.WishUnsure:     "Not done yet: the coordinator could not tell whether you asked yourself. Please speak to them, and then ask again.",
	trug.WishStays:      "Not done: the coordinator understood from you that the name is to stay. If that is wrong, ask again.",
	trug.WishChildren:   "Not done yet: children take part under this person. Ask for their names to be taken out first, or have them put under another adult.",
	trug.WishLastOfDesk: "Not done yet: the season would be left without a coordinator. Invite another first, and then ask again.",
}

// GivenWish asks for a name to be taken out.
type GivenWish struct {
	ID       trug.ID `json:"id" doc:"UUIDv7, so that sending twice asks once"`
	Pictures bool    `json:"pictures,omitempty" doc:"Delete the originals of the photographs too; smaller copies without the camera's notes stay"`
}

// AskOut asks the coordinator to take somebody's name out: one's own, or that
// of a child that takes part under one. Nothing changes by it until the
// coordinator has done it. Asking twice asks once.
func (a *App) AskOut(ctx context.Context, v Viewer, who trug.ID, g GivenWish) (KeptPage, error) {
	l, p, err := a.whose(ctx, v, AskForOut, who)
	if err != nil {
		return KeptPage{}, err
	}
	switch {
	case !g.ID.Valid():
		return KeptPage{}, badID()
	case !l.mayAsk(v, p):
		return KeptPage{}, trug.Errorf(trug.NotAllowed, "", "Everybody asks for themselves, and an adult for the children under them. As coordinator you take a name out on the person's page.")
	case !p.Gone.IsZero():
		return KeptPage{}, trug.Errorf(trug.Conflict, "", "This name was taken out already.")
	}
	w := trug.Wish{ID: g.ID, SeasonID: l.season.ID, PersonID: p.ID, By: v.Person.ID, About: trug.NameOut, Created: a.Clock()}
	if g.Pictures {
		w.About = trug.NameAndPictures
	}
	err = a.write(ctx, func(to store.Writer) error {
		waits, err := openWishes(ctx, to, p)
		if err != nil || slices.ContainsFunc(waits, func(x trug.Wish) bool { return x.About == w.About }) {
			return err
		}
		if err := a.endWishes(ctx, to, v, waits, trug.WishTakenBack); err != nil { // the new one says more, or less
			return err
		}
		return putOnce(ctx, to, w, w.ID, a.author(v), a)
	})
	if err != nil {
		return KeptPage{}, err
	}
	return a.Kept(ctx, v, p.ID)
}

// TakeWishBack takes back what was asked for, while it waits.
func (a *App) TakeWishBack(ctx context.Context, v Viewer, who trug.ID) (KeptPage, error) {
	l, p, err := a.whose(ctx, v, AskForOut, who)
	if err != nil {
		return KeptPage{}, err
	}
	if !l.mayAsk(v, p) {
		return KeptPage{}, trug.Errorf(trug.NotAllowed, "", "Whoever asked takes it back. As coordinator you answer it at the desk.")
	}
	err = a.write(ctx, func(w store.Writer) error {
		waits, err := openWishes(ctx, w, p)
		if err != nil {
			return err
		}
		return a.endWishes(ctx, w, v, waits, trug.WishTakenBack)
	})
	if err != nil {
		return KeptPage{}, err
	}
	return a.Kept(ctx, v, p.ID)
}

// mayAsk: oneself, and the adult of a child.
func (l *ledger) mayAsk(v Viewer, p trug.Person) bool {
	return v.is(p.ID) || p.Minor && v.is(p.Guardian)
}

// openWishes returns what of somebody waits, as it stands in the store.
func openWishes(ctx context.Context, r store.Reader, p trug.Person) ([]trug.Wish, error) {
	all, err := store.List[trug.Wish](ctx, r, store.Filter{Season: p.SeasonID, Parent: p.ID})
	return slices.DeleteFunc(all, func(w trug.Wish) bool { return !w.Open() }), err
}

func (a *App) endWishes(ctx context.Context, w store.Writer, v Viewer, list []trug.Wish, how trug.WishEnd) error {
	for _, x := range list {
		x.Settled, x.SettledBy, x.How = a.Clock(), v.Person.ID, how
		if err := store.Put(ctx, w, x, a.author(v), a.Clock()); err != nil {
			return err
		}
	}
	return nil
}

// wishOf returns what somebody asked for last, nil where they asked for
// nothing or took it back.
func (l *ledger) wishOf(v Viewer, p trug.Person) *KeptWish {
	var last trug.Wish
	for _, w := range l.wishes {
		if w.PersonID == p.ID && !w.Created.Before(last.Created) {
			last = w
		}
	}
	if last.ID == "" || last.How == trug.WishTakenBack {
		return nil
	}
	return &KeptWish{Pictures: last.About == trug.NameAndPictures, Created: last.Created, ByMe: v.is(last.By), Open: last.Open(), Says: string(wishSays[last.How]), Said: said.Fields{"says": said.As(wishSays[last.How])}}
}

// ShownWish is what somebody asks for, for the desk.
type ShownWish struct {
	ID       trug.ID   `json:"id"`
	Person   trug.ID   `json:"person"`
	Name     string    `json:"name"`
	Code     string    `json:"code,omitempty"`
	Child    bool      `json:"child,omitempty"`
	By       string    `json:"by" doc:"Who asked, where it was not the person themselves"`
	Pictures bool      `json:"pictures,omitempty" doc:"The originals of their photographs are to go too"`
	Created  time.Time `json:"created"`
	Open     bool      `json:"open"`
	// Settled and SettledBy are set when it came to an end, Says tells how.
	Settled   time.Time `json:"settled,omitzero"`
	SettledBy string    `json:"settledBy,omitempty"`
	Says      string    `json:"says" doc:"What happens, or happened"`
}

// WishesPage is what people ask for, and how it may be declined.
type WishesPage struct {
	Wishes []ShownWish `json:"wishes" doc:"Those that wait first, the longest waiting at the top; then the others, newest first"`
	Open   int         `json:"open"`
	// Refusals are the set sentences of which one is chosen to decline.
	Refusals []WishRefusal `json:"refusals"`
}

// WishRefusal is an answer that declines.
type WishRefusal struct {
	How  trug.WishEnd `json:"how"`
	Says string       `json:"says" doc:"What whoever asked reads"`
}

// deskWishes say what happens upon a wish, or what happened, for the desk.
var deskWishes = map[trug.WishEnd]string{
	trug.WishDone: "Done: the name was taken out.", trug.WishTakenBack: "Taken back.",
}

// Wishes lists what people asked the coordinator to do.
func (a *App) Wishes(ctx context.Context, v Viewer) (WishesPage, error) {
	l, err := a.open(ctx, v, OpenDesk)
	if err != nil {
		return WishesPage{}, err
	}
	page := WishesPage{Wishes: []ShownWish{}, Refusals: []WishRefusal{}}
	for _, w := range l.wishes {
		p := l.people[w.PersonID]
		s := ShownWish{ID: w.ID, Person: p.ID, Name: p.Name, Code: p.Code, Child: p.Minor, Pictures: w.About == trug.NameAndPictures,
			Created: w.Created, Open: w.Open(), Settled: w.Settled, SettledBy: l.person(w.SettledBy), Says: deskWishes[w.How]}
		if w.By != w.PersonID {
			s.By = l.person(w.By)
		}
		switch {
		case w.Open():
			page.Open++
			s.Says = "The name comes out of the season; records, determinations and places stay without it."
			if s.Pictures {
				s.Says = "The name comes out of the season, and the originals of the photographs are deleted; records, determinations and places stay."
			}
		case s.Says == "":
			s.Says = "Declined. They read: " + string(wishSays[w.How])
		}
		page.Wishes = append(page.Wishes, s)
	}
	slices.SortFunc(page.Wishes, func(x, y ShownWish) int {
		switch {
		case x.Open != y.Open:
			return map[bool]int{true: -1, false: 1}[x.Open]
		case x.Open:
			return cmp.Or(x.Created.Compare(y.Created), strings.Compare(string(x.ID), string(y.ID)))
		}
		return cmp.Or(y.Created.Compare(x.Created), strings.Compare(string(x.ID), string(y.ID)))
	})
	for _, how := range trug.WishRefusals {
		page.Refusals = append(page.Refusals, WishRefusal{how, string(wishSays[how])})
	}
	return page, nil
}

// DeclineWish answers a wish by a set sentence. What has come to an end
// already stays as it is.
func (a *App) DeclineWish(ctx context.Context, v Viewer, id trug.ID, how trug.WishEnd) (WishesPage, error) {
	l, err := a.open(ctx, v, KeepDesk)
	if err != nil {
		return WishesPage{}, err
	}
	if !slices.Contains(trug.WishRefusals, how) {
		return WishesPage{}, trug.Errorf(trug.Invalid, "how", "choose one of the answers that stand there: it is read by whoever asked, who may be a child")
	}
	err = a.write(ctx, func(w store.Writer) error {
		wish, err := store.Get[trug.Wish](ctx, w, id)
		if err != nil || wish.SeasonID != l.season.ID {
			return trug.Errorf(trug.NotFound, "", "There is no such request here: load the page again.")
		}
		if !wish.Open() {
			return nil
		}
		return a.endWishes(ctx, w, v, []trug.Wish{wish}, how)
	})
	if err != nil {
		return WishesPage{}, err
	}
	return a.Wishes(ctx, v)
}
