package app_test

import (
	"bytes"
	"context"
	"errors"
	"image/jpeg"
	"io"
	"slices"
	"strings"
	"sync"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
	"trug/internal/blob"
	"trug/internal/offline"
	"trug/internal/store"
	"trug/science/card"
)

// sentView has somebody's phone send a record with one photograph, and returns both.
func sentView(t *testing.T, s apptest.Season, picture []byte) (trug.ID, trug.Photograph) {
	t.Helper()
	m := offline.Message{Phone: s.ID(), Number: 1, Record: s.ID(), Set: fields("remarks", "by the oak"), Views: []offline.View{{Photograph: hashOf(picture), Kind: trug.Top}}}
	send(t, s, "R08", picture)
	if got := take(t, s, "R08", m); got.State != "taken" || !slices.Equal(got.Kept, []trug.Hash{hashOf(picture)}) {
		t.Fatalf("%+v", got)
	}
	return m.Record, photographOf(t, s, picture)
}

func photographOf(t *testing.T, s apptest.Season, picture []byte) (p trug.Photograph) {
	t.Helper()
	err := s.Store.Read(t.Context(), func(r store.Reader) (err error) {
		p, err = store.ByKey[trug.Photograph](t.Context(), r, s.Demo.Season.ID, string(hashOf(picture)))
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func cardsOf(t *testing.T, s apptest.Season, p trug.Photograph) (list []trug.FoundCard) {
	t.Helper()
	err := s.Store.Read(t.Context(), func(r store.Reader) (err error) {
		list, err = store.List[trug.FoundCard](t.Context(), r, store.Filter{Season: p.SeasonID, Key: string(p.ID)})
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return list
}

func sound(t *testing.T, s apptest.Season) {
	t.Helper()
	if faults, err := s.CheckStore(t.Context(), nil); err != nil || len(faults) > 0 {
		t.Errorf("the check says %q, %v", faults, err)
	}
}

// A message is answered when the original is durable; what is made of it follows,
// also where the server was killed in between, and comes to the same as at once.
func TestPhotographsOfMessagesAreDevelopedLater(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	atOnce := apptest.JPEG(t, 9101)
	_, want := sentView(t, s, atOnce)
	if !want.Developed() || len(cardsOf(t, s, want)) != 1 {
		t.Fatalf("with nothing in the background it is developed at once: %+v", want)
	}
	s.Later = 10
	picture := apptest.JPEG(t, 9102)
	_, p := sentView(t, s, picture)
	if p.Developed() || len(cardsOf(t, s, p)) != 0 || p.Width != want.Width || p.Screen.Width != want.Screen.Width || p.Thumb.Height != want.Thumb.Height {
		t.Errorf("before it is developed: %+v", p)
	}
	sound(t, s)
	if _, err := s.Publish(t.Context(), s.As("R02"), app.GivenDeposit{ID: s.ID()}); trug.KindOf(err) != trug.Busy {
		t.Errorf("a deposit without its pictures: %v", err)
	}
	// Killed, and started again: another app over the same folder.
	again, err := app.New(s.Options)
	if err != nil {
		t.Fatal(err)
	}
	if err := again.DevelopAll(t.Context()); err != nil {
		t.Fatal(err)
	}
	p = photographOf(t, s, picture)
	cards := cardsOf(t, s, p)
	if !p.Developed() || p.Screen.Bytes == 0 || len(cards) != 1 || cards[0].Picture != hashOf(picture) || cards[0].Revision != card.Revision || cards[0].Width != p.Width {
		t.Errorf("developed: %+v, %+v", p, cards)
	}
	if err := again.DevelopAll(t.Context()); err != nil || photographOf(t, s, picture).Screen != p.Screen {
		t.Errorf("once more changes something: %v", err)
	}
	sound(t, s)
}

// Whoever looks at a photograph that waits sees it: it is developed then, once,
// however many look.
func TestAWaitingPhotographIsDevelopedWhenLookedAt(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	s.Later = 10
	picture := apptest.JPEG(t, 9103)
	_, p := sentView(t, s, picture)
	var wait sync.WaitGroup
	for range 6 {
		wait.Go(func() {
			f, err := s.OpenPhotograph(t.Context(), s.As("R08"), p.ID, app.Thumb)
			if err != nil {
				t.Error(err)
				return
			}
			defer f.Close()
			data, err := io.ReadAll(f)
			if err != nil {
				t.Error(err)
			}
			if img, err := jpeg.Decode(bytes.NewReader(data)); err != nil || img.Bounds().Dx() != p.Thumb.Width {
				t.Errorf("the thumb: %v", err)
			}
		})
	}
	wait.Wait()
	var history []store.Amendment
	err := s.Store.Read(t.Context(), func(r store.Reader) (err error) {
		history, err = r.History(t.Context(), store.Photographs, p.ID)
		return err
	})
	if err != nil || len(history) != 2 {
		t.Errorf("its history has %d amendments, want 2: handed in, developed; %v", len(history), err)
	}
	sound(t, s)
}

// A file whose head is a photograph's and whose picture is none is kept, and says so.
func TestAWaitingPhotographThatCantBeRead(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	s.Later = 10
	picture := apptest.JPEG(t, 9104)
	scan := bytes.Index(picture, []byte{0xff, 0xda})
	picture = append(slices.Clone(picture[:scan+14]), bytes.Repeat([]byte{0xff, 0xd9}, 40)...)
	record, _ := sentView(t, s, picture)
	if err := s.DevelopAll(t.Context()); err != nil {
		t.Fatal(err)
	}
	p := photographOf(t, s, picture)
	if !p.Developed() || len(p.Notes) == 0 || !strings.Contains(p.Notes[len(p.Notes)-1], "can't be read") {
		t.Errorf("%+v", p)
	}
	f, err := s.OpenPhotograph(t.Context(), s.As("R08"), p.ID, app.Original)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if data, err := io.ReadAll(f); err != nil || !bytes.Equal(data, picture) {
		t.Errorf("the original is not what was sent: %v", err)
	}
	if sheet, err := s.App.Record(t.Context(), s.As("R08"), record); err != nil || len(sheet.Views) != 1 || !strings.Contains(sheet.Views[0].Waits, "can't be read") {
		t.Errorf("%+v, %v", sheet, err)
	}
	sound(t, s)
}

// So many may wait and no more: then messages wait for what they bring.
func TestSoManyPhotographsWaitAndNoMore(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	s.Later = 2
	waits := 0
	for n := range uint64(5) {
		if _, p := sentView(t, s, apptest.JPEG(t, 9110+n)); !p.Developed() {
			waits++
		}
	}
	if waits != 2 {
		t.Errorf("%d photographs wait, want 2", waits)
	}
}

// The background takes up what messages bring, and ends when it is told to.
func TestTheBackgroundDevelops(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	s.Later = 10
	_, before := sentView(t, s, apptest.JPEG(t, 9120)) // left by a server of before
	ctx, stop := context.WithCancel(t.Context())
	done := make(chan struct{})
	go func() { s.KeepDeveloping(ctx); close(done) }()
	picture := apptest.JPEG(t, 9121)
	sentView(t, s, picture)
	for !photographOf(t, s, picture).Developed() {
		select {
		case <-t.Context().Done():
			t.Fatal("it is never developed")
		default:
		}
	}
	stop()
	<-done
	err := s.Store.Read(t.Context(), func(r store.Reader) error {
		p, err := store.Get[trug.Photograph](t.Context(), r, before.ID)
		if !p.Developed() {
			t.Error("what was left is not developed")
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

// broken is a place for files of which none opens, or one breaks whoever opens it.
type broken struct {
	blob.Store
	breaks trug.Hash
}

func (b broken) Open(ctx context.Context, h trug.Hash) (io.ReadSeekCloser, error) {
	switch b.breaks {
	case h:
		panic("a strange picture")
	case "":
		return nil, errors.New("the disk is gone")
	}
	return b.Store.Open(ctx, h)
}

// A picture that breaks what looks at it ends neither the background nor the others'
// turn; of very many that fail alike it is told why of some.
func TestWhatCantBeDevelopedStopsNobody(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	s.Later = 10
	strange := apptest.JPEG(t, 9130)
	sentView(t, s, strange)
	for n := range uint64(7) {
		sentView(t, s, apptest.JPEG(t, 9131+n))
	}
	options := s.Options
	options.Blobs = broken{Store: s.Blobs}
	gone, err := app.New(options)
	if err != nil {
		t.Fatal(err)
	}
	if err := gone.DevelopAll(t.Context()); err == nil || strings.Count(err.Error(), "the disk is gone") != 5 || !strings.Contains(err.Error(), "and 3 more") {
		t.Errorf("without a disk: %v", err)
	}
	options.Blobs = broken{Store: s.Blobs, breaks: hashOf(strange)}
	again, err := app.New(options)
	if err != nil {
		t.Fatal(err)
	}
	if err := again.DevelopAll(t.Context()); err == nil || !strings.Contains(err.Error(), "broke") {
		t.Errorf("a picture that breaks: %v", err)
	}
	if photographOf(t, s, strange).Developed() || !photographOf(t, s, apptest.JPEG(t, 9137)).Developed() {
		t.Error("one that broke kept the others from being developed")
	}
}

// A deposit waits for the photographs that it holds, and for no others; a file that
// shows nothing is not published as a photograph, and the record lacks that view.
func TestDepositsAndWaitingPhotographs(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	picture := apptest.JPEG(t, 9140)
	scan := bytes.Index(picture, []byte{0xff, 0xda})
	picture = append(slices.Clone(picture[:scan+14]), bytes.Repeat([]byte{0xff, 0xd9}, 40)...)
	before, err := s.WriteArchive(t.Context(), app.Desk(s.Demo.Season.ID), io.Discard)
	if err != nil {
		t.Fatal(err)
	}
	s.Later = 10
	record, _ := sentView(t, s, picture)
	if _, err := s.WriteArchive(t.Context(), app.Desk(s.Demo.Season.ID), io.Discard); trug.KindOf(err) != trug.Busy {
		t.Errorf("one that it holds waits: %v", err)
	}
	if err := s.DevelopAll(t.Context()); err != nil {
		t.Fatal(err)
	}
	after, err := s.WriteArchive(t.Context(), app.Desk(s.Demo.Season.ID), io.Discard)
	if err != nil || after.Views != before.Views || after.Finds != before.Finds+1 {
		t.Errorf("a picture that shows nothing: %+v, before %+v; %v", after, before, err)
	}
	sheet, err := s.App.Record(t.Context(), s.As("R08"), record)
	if err != nil || !slices.Contains(sheet.Misses, trug.Top) || strings.HasPrefix(sheet.Facts, "Top") {
		t.Errorf("the facts: %q, misses %q; %v", sheet.Facts, sheet.Misses, err)
	}
	// In its recorder's garden: its photograph is not published.
	hidden := apptest.JPEG(t, 9141)
	m := offline.Message{Phone: s.ID(), Number: 1, Record: s.ID(), Set: fields("remarks", "by the shed"), Views: []offline.View{{Photograph: hashOf(hidden), Kind: trug.Top}}}
	m.Set["garden"] = []byte("true")
	send(t, s, "R08", hidden)
	take(t, s, "R08", m)
	if photographOf(t, s, hidden).Developed() {
		t.Fatal("it does not wait")
	}
	if _, err := s.WriteArchive(t.Context(), app.Desk(s.Demo.Season.ID), io.Discard); err != nil {
		t.Errorf("one that it does not hold waits: %v", err)
	}
}
