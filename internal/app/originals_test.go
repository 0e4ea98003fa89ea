package app_test

import (
	"bytes"
	"context"
	"errors"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
	"trug/internal/blob"
	"trug/internal/store"
)

// powerCut is a place for files that fails from the n-th deletion on, before
// or after the file has gone, as when the machine loses power there.
type powerCut struct {
	blob.Store
	left  int
	after bool
}

var errCut = errors.New("the power is gone")

func (p *powerCut) Remove(ctx context.Context, h trug.Hash) error {
	if p.left--; p.left < 0 {
		if p.after {
			_ = p.Store.Remove(ctx, h) // whatever it says, nobody hears it
		}
		return errCut
	}
	return p.Store.Remove(ctx, h)
}

// However far the deletion of originals came before the machine stopped, the
// next start brings it to its end, and a second one finds nothing to do.
func TestDeletingOriginalsGoesOnAfterACrash(t *testing.T) {
	const photographs = 3
	for cut := range photographs + 1 {
		for _, after := range []bool{false, true} {
			s, ctx := apptest.New(t, "2026-10-10"), t.Context()
			var originals []trug.Hash
			var ids []trug.ID
			for n := range photographs {
				data := apptest.JPEG(t, uint64(20+n))
				p, err := s.TakePhotograph(ctx, s.As("R08"), "mine.jpg", bytes.NewReader(data))
				if err != nil {
					t.Fatal(err)
				}
				ids = append(ids, p.ID)
				originals = append(originals, photograph(t, s, p.ID).Original)
			}
			whole := s.Blobs
			s.Blobs = &powerCut{whole, cut, after}
			me := s.As("R08").Person
			err := s.TakeOutName(ctx, s.As("R02"), me.ID, app.GivenTakingOut{Name: me.Name, Originals: true})
			if (err != nil) != (cut < photographs) {
				t.Fatalf("cut at %d: %v", cut, err)
			}
			s.Blobs = whole
			for range 2 {
				seq := lastSeq(t, s)
				if err := s.FinishTakingOut(ctx); err != nil {
					t.Fatal(err)
				}
				if cut == photographs && lastSeq(t, s) != seq {
					t.Error("what was finished was gone through again")
				}
			}
			for i, h := range originals {
				if _, kept, err := whole.Has(ctx, h); kept || err != nil {
					t.Errorf("cut at %d (after the deletion: %t): original %d is there still (%v)", cut, after, i, err)
				}
				if p := photograph(t, s, ids[i]); p.OriginalGone.IsZero() || p.Original != p.Screen.Hash {
					t.Errorf("cut at %d: photograph %d still refers to it: %+v", cut, i, p)
				}
			}
			if faults, err := s.CheckStore(ctx, nil); err != nil || len(faults) > 0 {
				t.Errorf("cut at %d: the check says %q (%v)", cut, faults, err)
			}
		}
	}
}

// An original that is a photograph of another season too stays there.
func TestAnOriginalOfAnotherSeasonStays(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	p, err := s.TakePhotograph(ctx, s.As("R08"), "mine.jpg", bytes.NewReader(apptest.JPEG(t, 31)))
	if err != nil {
		t.Fatal(err)
	}
	same := photograph(t, s, p.ID)
	other := same
	other.ID, other.SeasonID = s.ID(), s.ID()
	if err := s.Store.Write(ctx, func(w store.Writer) error { return store.Put(ctx, w, other, store.Author{}, s.Clock()) }); err != nil {
		t.Fatal(err)
	}
	me := s.As("R08").Person
	if err := s.TakeOutName(ctx, s.As("R02"), me.ID, app.GivenTakingOut{Name: me.Name, Originals: true}); err != nil {
		t.Fatal(err)
	}
	if _, kept, err := s.Blobs.Has(ctx, same.Original); !kept || err != nil {
		t.Errorf("the file of the other season's photograph is gone (%v)", err)
	}
}

// A photograph of which nothing can be made, since its file is lost or can't be read just
// now, keeps no other original from being deleted.
func TestALostOriginalKeepsNoOther(t *testing.T) {
	s, ctx := apptest.New(t, "2026-10-10"), t.Context()
	s.Later = 10
	lost, other := apptest.JPEG(t, 41), apptest.JPEG(t, 42)
	sentView(t, s, lost)
	sentView(t, s, other)
	if err := s.Blobs.Remove(ctx, hashOf(lost)); err != nil {
		t.Fatal(err)
	}
	me := s.As("R08").Person
	if err := s.TakeOutName(ctx, s.As("R02"), me.ID, app.GivenTakingOut{Name: me.Name, Originals: true}); err != nil {
		t.Fatal(err)
	}
	if _, kept, err := s.Blobs.Has(ctx, hashOf(other)); kept || err != nil {
		t.Errorf("the other original is there still: %v", err)
	}
	seq := lastSeq(t, s)
	if err := s.FinishTakingOut(ctx); err != nil || lastSeq(t, s) != seq {
		t.Errorf("it is gone through again at each start: %v", err)
	}
}

func photograph(t *testing.T, s apptest.Season, id trug.ID) (p trug.Photograph) {
	t.Helper()
	err := s.Store.Read(t.Context(), func(r store.Reader) (err error) {
		p, err = store.Get[trug.Photograph](t.Context(), r, id)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func lastSeq(t *testing.T, s apptest.Season) (seq int64) {
	t.Helper()
	if err := s.Store.Read(t.Context(), func(r store.Reader) (err error) { seq, err = r.LastSeq(t.Context()); return err }); err != nil {
		t.Fatal(err)
	}
	return seq
}
