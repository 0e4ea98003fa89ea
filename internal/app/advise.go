package app

import (
	"context"
	"slices"

	"trug"
	"trug/science/advice"
	"trug/science/card"
	"trug/science/view"
)

// LookedOver is what comes of a look.
type LookedOver = advice.Looked

// LookOver says what a photograph shows as a view of a kind, and what can be done
// better about it: the same that a phone works out by itself, for browsers that
// can't. It keeps nothing.
func (a *App) LookOver(ctx context.Context, v Viewer, id trug.ID, kind trug.ViewKind) (LookedOver, error) {
	none := LookedOver{}
	l, err := a.open(ctx, v, HandIn)
	if err != nil {
		return none, err
	}
	if !slices.Contains(trug.ViewKinds, kind) {
		return none, trug.Errorf(trug.Invalid, "kind", "%q is no kind of view: ask for top, side, underneath or another of the list", kind)
	}
	p, ok := l.photographs[id]
	own, f := ok && v.is(p.By), l.holding(id)
	switch {
	case !ok, p.Crop != nil, !own && (f == nil || !l.visible(v, f) || l.hidden(v, f, f.viewWith(id))):
		return none, trug.Errorf(trug.NotFound, "", "There is no such photograph here.")
	case !own && !l.mayNameAny(v):
		return none, trug.Errorf(trug.NotAllowed, "", "A photograph is looked over for whoever took it, determiners and the coordinator.")
	}
	upright, facts, done, err := a.upright(ctx, p.Original)
	if err != nil {
		return none, err
	}
	defer done()
	finder, _ := a.finders.Get().(*card.Finder)
	if finder == nil {
		finder = &card.Finder{}
	}
	defer a.finders.Put(finder)
	return advice.Look(finder, upright, advice.Kind(kind), view.Known{Film35: facts.Lens35(), Flash: facts.Flash}), nil
}
