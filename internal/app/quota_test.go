package app_test

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
)

// One recorder can't fill the disk: beyond their room a photograph is refused
// with what to do, what was taken stays and can be sent again, others go on,
// and who leads has ten times as much.
func TestOneRecorderCannotFillTheDisk(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	s.App.RoomEach = 64 << 10
	take := func(code string, n uint64) (app.ShownPhotograph, error) {
		return s.TakePhotograph(t.Context(), s.As(code), fmt.Sprint(n, ".jpg"), bytes.NewReader(apptest.JPEG(t, n)))
	}
	taken := uint64(0)
	var refused error
	for ; taken < 60; taken++ {
		if _, refused = take("R08", taken); refused != nil {
			break
		}
	}
	if taken < 5 || taken > 40 || trug.KindOf(refused) != trug.NotAllowed {
		t.Fatalf("%d photographs were taken, then %v", taken, refused)
	}
	for _, says := range []string{"0 MB of photographs", "as one person may", "All of it is kept", "ask the coordinator"} {
		if !strings.Contains(refused.Error(), says) {
			t.Errorf("the refusal lacks %q: %v", says, refused)
		}
	}
	for n := range taken {
		if p, err := take("R08", n); err != nil || !p.Again {
			t.Errorf("photograph %d, which was taken before, again: %v, %v", n, p.Again, err)
		}
	}
	if _, err := take("R03", taken); err != nil {
		t.Errorf("somebody else's photograph: %v", err)
	}
	led := uint64(0)
	for ; led < 4*taken; led++ {
		if _, err := take("R01", 1000+led); err != nil {
			t.Errorf("the leader's photograph %d: %v", led, err)
			break
		}
	}
	s.App.RoomEach = 1 << 20
	if _, err := take("R08", taken+1); err != nil {
		t.Errorf("with more room: %v", err)
	}
	s.App.RoomEach = 0
	if _, err := take("R08", taken+2); err != nil {
		t.Errorf("with the usual room: %v", err)
	}
}

// With the disk almost full no photograph is taken, for the time being, but
// records are; and a disk that does not tell is no reason to refuse.
func TestAnAlmostFullDisk(t *testing.T) {
	s := apptest.New(t, "2026-10-10")
	free, fault := int64(1<<30), error(nil)
	s.App.Free = func() (int64, error) { return free, fault }
	take := func(n uint64) error {
		_, err := s.TakePhotograph(t.Context(), s.As("R08"), "a.jpg", bytes.NewReader(apptest.JPEG(t, n)))
		return err
	}
	if err := take(1); trug.KindOf(err) != trug.Busy || !strings.Contains(err.Error(), "waits on your device") {
		t.Errorf("with 1 GB left: %v", err)
	}
	if _, err := s.SaveRecord(t.Context(), s.As("R08"), s.ID(), app.EditableRecord{Found: trug.When{Date: "2026-10-10"}, FieldName: "Mycena"}); err != nil {
		t.Errorf("a record without photographs: %v", err)
	}
	free = 2 << 30
	if err := take(1); err != nil {
		t.Errorf("with 2 GB left: %v", err)
	}
	free, fault = 0, errors.New("not known here")
	if err := take(2); err != nil {
		t.Errorf("where the disk does not tell: %v", err)
	}
}
