package app

import (
	"context"

	"trug"
	"trug/science/key"
	"trug/science/key/asking"
)

// SpotAsked is what is known of a find while its finder still stands before it,
// and Spot what is still worth doing there.
type (
	SpotAsked = asking.SpotAsked
	Spot      = asking.Spot
)

// OnTheSpot returns the question that tells most and the views that are still
// wanted of a find that is no record yet: what a phone works out by itself, by
// the same function and the same matrix, for browsers that can't. It keeps
// nothing. What settled finds taught and what is expected of place and time
// weigh once the record is kept (Questions).
func (a *App) OnTheSpot(ctx context.Context, v Viewer, asked SpotAsked) (Spot, error) {
	l, err := a.open(ctx, v, SaveARecord)
	if err != nil {
		return Spot{}, err
	}
	k, err := a.keyOf(ctx, l)
	if err != nil {
		return Spot{}, err
	}
	untaught := k.key
	if len(k.changes) > 0 {
		if untaught, err = key.New(k.book, key.Standard(k.words)); err != nil {
			return Spot{}, err
		}
	}
	out, err := asking.OnTheSpot(k.words, untaught, asked)
	if err != nil {
		return Spot{}, trug.Errorf(trug.Invalid, "answers", "%v", err)
	}
	return out, nil
}
