package app

import (
	"context"

	"trug"
	"trug/internal/offline"
)

// TakeFile takes in what a phone wrote as a file: each record with its
// photographs, for itself and in their order. The same file may be taken in
// again, and the phone may send the same records afterwards: nothing doubles.
// Photographs that the season has are not developed again.
func (a *App) TakeFile(ctx context.Context, v Viewer, f offline.File, tell trug.Progress) ([]MessageAnswer, error) {
	l, err := a.open(ctx, v, SaveARecord)
	if err != nil {
		return nil, err
	}
	if f.Season != l.season.Code {
		return nil, trug.Errorf(trug.Invalid, "", "the file belongs to season %.20q, and this one is %q", f.Season, l.season.Code)
	}
	out := []MessageAnswer{}
	for i, m := range f.Messages {
		tell.Tell(i, len(f.Messages), "records read")
		if err := ctx.Err(); err != nil {
			return out, err
		}
		answer := MessageAnswer{Phone: m.Phone, Number: m.Number, Record: m.Record}
		err := m.Validate()
		if err == nil {
			err = a.developFrom(ctx, v, f, m)
		}
		if err == nil {
			answer, err = a.takeMessage(ctx, v, m)
		}
		if err != nil {
			if answer, err = refusal(answer, err); err != nil {
				return out, err
			}
		}
		out = append(out, answer)
	}
	tell.Tell(len(f.Messages), len(f.Messages), "records read")
	return out, nil
}

// developFrom makes photographs of those that a message names and the season
// does not have. One that is not in the file is told as missing afterwards.
func (a *App) developFrom(ctx context.Context, v Viewer, f offline.File, m offline.Message) error {
	for _, view := range m.Views {
		if view.Handed != "" {
			continue
		}
		if _, err := a.photographByHash(ctx, v.Season, view.Photograph); err == nil {
			continue
		} else if trug.KindOf(err) != trug.NotFound {
			return err
		}
		data, err := f.Photograph(view.Photograph, MaxPhotographBytes)
		if trug.KindOf(err) == trug.NotFound && err != nil {
			continue
		}
		if err != nil {
			return err
		}
		l, err := a.open(ctx, v, HandIn)
		if err != nil {
			return err
		}
		if _, _, err := a.keepPhotograph(ctx, v, l, handed{cleanFileName(view.FileName), data, false}); err != nil {
			return err
		}
	}
	return nil
}
