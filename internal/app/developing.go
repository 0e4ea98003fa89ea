package app

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"runtime/debug"
	"slices"
	"time"

	"trug"
	"trug/internal/store"
	"trug/science/card"
)

// MostUndeveloped is how many photographs of phones may wait for their derivatives
// at a server: a day on which 500 people come out of the wood with ten finds each.
// Beyond it messages wait, as long as their photographs are developed (our own
// judgement).
const MostUndeveloped = 20_000

// restAfterFailing is how long the background rests when something could not be
// developed, such as for want of room on the disk.
const restAfterFailing = time.Minute

// mostToldWrong is of how many photographs it is told why they could not be developed:
// where the disk is full it is the same of thousands.
const mostToldWrong = 5

// mayWait reports whether one more photograph may be developed later.
func (a *App) mayWait(l *ledger) bool {
	n := 0
	for _, p := range l.photographs {
		if !p.Developed() {
			n++
		}
	}
	return n < a.Later
}

// KeepDeveloping makes the derivatives of photographs that came with messages,
// one after another in the background, until ctx ends. What was left when the server
// stopped it takes up again.
func (a *App) KeepDeveloping(ctx context.Context) {
	for {
		var again <-chan time.Time
		if err := a.DevelopAll(ctx); err != nil && ctx.Err() == nil {
			a.Log.Warn("photographs could not be developed; they are tried again in a minute", "error", err)
			again = time.After(restAfterFailing)
		}
		select {
		case <-ctx.Done():
			return
		case <-a.later:
		case <-again:
		}
	}
}

// DevelopAll makes all derivatives that are left to do. It can be broken off
// anywhere and begun again: what is left is read off the store. The error tells what
// could not be done; the others are done.
func (a *App) DevelopAll(ctx context.Context) error {
	seasons, err := a.Seasons(ctx)
	if err != nil {
		return err
	}
	wrong, more := []error{}, 0
	for _, s := range seasons {
		l, err := a.ledger(ctx, s.ID)
		if err != nil {
			return err
		}
		for _, p := range l.waitingPhotographs() {
			if _, err := a.developed(ctx, p); err != nil && len(wrong) < mostToldWrong {
				wrong = append(wrong, err)
			} else if err != nil {
				more++
			}
			if ctx.Err() != nil {
				return ctx.Err()
			}
		}
	}
	if more > 0 {
		wrong = append(wrong, fmt.Errorf("and %d more photographs", more))
	}
	return errors.Join(wrong...)
}

// waitingPhotographs lists those without derivatives, the oldest first.
func (l *ledger) waitingPhotographs() (out []trug.Photograph) {
	for _, p := range l.photographs {
		if !p.Developed() {
			out = append(out, p)
		}
	}
	slices.SortFunc(out, func(x, y trug.Photograph) int { return cmp.Compare(x.ID, y.ID) })
	return out
}

// developed returns a photograph with its derivatives, and makes them where that is
// left to do. Who asks for the same one at once waits for the one work.
func (a *App) developed(ctx context.Context, p trug.Photograph) (trug.Photograph, error) {
	if p.Developed() {
		return p, nil
	}
	// Whoever began it may go away; the others wait for what is kept in any case.
	work := context.WithoutCancel(ctx)
	got, err, _ := a.developing.Do(string(p.ID), func() (_ any, err error) {
		// In the background nobody else stops one strange picture from ending the server.
		defer func() {
			if broke := recover(); broke != nil {
				a.Log.Error("a photograph broke its development", "photograph", p.ID, "panic", broke, "stack", string(debug.Stack()))
				err = errors.New("it broke its development")
			}
		}()
		return a.developNow(work, p.ID)
	})
	if err != nil {
		return p, fmt.Errorf("develop photograph %s: %w", p.ID, err)
	}
	return got.(trug.Photograph), nil
}

// developNow makes a photograph's derivatives, looks for the card, and keeps both.
func (a *App) developNow(ctx context.Context, id trug.ID) (p trug.Photograph, err error) {
	err = a.Store.Read(ctx, func(r store.Reader) error {
		p, err = store.Get[trug.Photograph](ctx, r, id)
		return err
	})
	if err != nil || p.Developed() {
		return p, err
	}
	m, err := a.developKept(ctx, p)
	if err != nil {
		return p, err
	}
	if err := a.putDerivatives(ctx, &m); err != nil {
		return p, err
	}
	by := store.Author{Device: a.Device}
	err = a.write(ctx, func(w store.Writer) error {
		if p, err = store.Get[trug.Photograph](ctx, w, id); err != nil || p.Developed() {
			return err // cropped meanwhile, or its original is gone
		}
		p.Width, p.Height, p.Screen, p.Thumb, p.Notes, p.Unreadable = m.Width, m.Height, m.Screen, m.Thumb, m.Notes, m.Unreadable
		if err := store.Put(ctx, w, p, by, a.Clock()); err != nil {
			return err
		}
		m.ID, m.SeasonID, m.Original = p.ID, p.SeasonID, p.Original
		_, err := store.ByKey[trug.FoundCard](ctx, w, p.SeasonID, string(p.ID))
		if trug.KindOf(err) == trug.NotFound && err != nil { // else somebody measured in it already
			err = a.putCard(ctx, w, m, by)
		}
		return err
	})
	return p, err
}

// developKept makes what is to be made of an original that is kept.
func (a *App) developKept(ctx context.Context, p trug.Photograph) (newPhotograph, error) {
	giveBack, err := a.files.take(ctx, p.Bytes)
	if err != nil {
		return newPhotograph{}, err
	}
	defer giveBack()
	f, err := a.Blobs.Open(ctx, p.Original)
	if err != nil {
		return newPhotograph{}, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, MaxPhotographBytes))
	if err != nil {
		return newPhotograph{}, err
	}
	m, err := a.develop(ctx, p.FileName, data)
	m.Notes = p.Notes
	if err != nil && trug.KindOf(err) == trug.Invalid {
		m.Width, m.Height = p.Width, p.Height
		err = m.unreadable(says(err))
		m.card.Revision = card.Revision
	}
	return m, err
}
