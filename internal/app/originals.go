package app

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"

	"trug"
	"trug/internal/store"
)

// FinishTakingOut deletes the originals that a redaction named and that are
// there still: the server may have stopped while it was at it. It is called at
// the start, and does nothing where nothing is left.
func (a *App) FinishTakingOut(ctx context.Context) error {
	seasons, err := a.Seasons(ctx)
	if err != nil {
		return err
	}
	var faults []error
	for _, s := range seasons {
		var list []trug.Redaction
		err := a.Store.Read(ctx, func(r store.Reader) (err error) {
			list, err = store.List[trug.Redaction](ctx, r, store.Filter{Season: s.ID})
			return err
		})
		if err != nil {
			return err
		}
		for _, r := range list {
			faults = append(faults, a.deleteOriginals(ctx, r)) // one that can't be deleted keeps no other
		}
	}
	return errors.Join(faults...)
}

// deleteOriginals deletes the originals that a redaction names and notes when
// all are gone; what is left of each photograph is the screen derivative, which
// has no metadata. It can be broken off anywhere and begun again: the row is
// changed first, so that nothing refers to a file that is gone, and which
// files those were is read from the history, not from the row.
func (a *App) deleteOriginals(ctx context.Context, r trug.Redaction) error {
	if len(r.Originals) == 0 || !r.Deleted.IsZero() {
		return nil
	}
	by := store.Author{Person: r.By, Device: a.Device}
	var left error
	for _, id := range r.Originals {
		// What is left of a photograph is its derivative. One that can't be made keeps no
		// other original; where the file is gone already there is none to delete.
		if _, err := a.developed(ctx, trug.Photograph{ID: id}); err != nil {
			if trug.KindOf(err) != trug.NotFound {
				left = errors.Join(left, err)
			}
			continue
		}
		gone, err := a.dropOriginal(ctx, id, by)
		if err != nil {
			return err
		}
		for _, h := range gone {
			if err := a.Blobs.Remove(ctx, h); err != nil {
				return fmt.Errorf("delete an original: %w", err)
			}
		}
	}
	if left != nil {
		return left
	}
	r.Deleted = a.Clock()
	return a.write(ctx, func(w store.Writer) error { return store.Put(ctx, w, r, by, a.Clock()) })
}

// dropOriginal has a photograph refer to its screen derivative alone, and
// returns the files that it was before and that no photograph is any more.
func (a *App) dropOriginal(ctx context.Context, id trug.ID, by store.Author) (gone []trug.Hash, err error) {
	err = a.write(ctx, func(w store.Writer) error {
		now, err := store.Get[trug.Photograph](ctx, w, id)
		if err != nil {
			return err
		}
		if now.OriginalGone.IsZero() {
			if err := a.keepFrame(ctx, w, now, by); err != nil {
				return err
			}
			now.Original, now.Bytes, now.Format = now.Screen.Hash, now.Screen.Bytes, "jpeg"
			now.Width, now.Height, now.OriginalGone, now.Crop = now.Screen.Width, now.Screen.Height, a.Clock(), nil
			if err := store.Put(ctx, w, now, by, a.Clock()); err != nil {
				return err
			}
		}
		history, err := w.History(ctx, store.Photographs, id)
		if err != nil {
			return err
		}
		for _, c := range history {
			var was trug.Photograph
			if err := json.Unmarshal(c.After, &was); err != nil {
				return fmt.Errorf("read what a photograph was: %w", err)
			}
			// The same file may be a photograph of another season.
			same, err := store.List[trug.Photograph](ctx, w, store.Filter{Key: string(was.Original)})
			if err != nil {
				return err
			}
			if len(same) == 0 && !slices.Contains(gone, was.Original) && was.Original != now.Screen.Hash && was.Original != now.Thumb.Hash {
				gone = append(gone, was.Original)
			}
		}
		return nil
	})
	return gone, err
}

// keepFrame tells what was found of the card which part of the original the
// derivatives show, before the photograph forgets it.
func (a *App) keepFrame(ctx context.Context, w store.Writer, p trug.Photograph, by store.Author) error {
	c, err := store.ByKey[trug.FoundCard](ctx, w, p.SeasonID, string(p.ID))
	if err != nil {
		if trug.KindOf(err) == trug.NotFound {
			return nil
		}
		return err
	}
	frame := frameOf(p, c)
	c.Frame = &frame
	return store.Put(ctx, w, c, by, a.Clock())
}
