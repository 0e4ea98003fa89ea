package trug_test

import (
	"bytes"
	"crypto/rand"
	"strings"
	"testing"
	"testing/quick"
	"time"

	"trug"
	"trug/science/place"
)

// The example of RFC 9562, appendix A.6: a UUIDv7 of Tuesday, 22 February
// 2022, 14:22:22.00 at GMT-05:00 begins 017F22E2-79B0-7.
func TestNewIDByTheRFC(t *testing.T) {
	at := time.Date(2022, 2, 22, 19, 22, 22, 0, time.UTC)
	// The RFC's random bits: rand_a 0xCC3, rand_b 0x18C4DC0C0C07398F.
	id, err := trug.NewID(at, bytes.NewReader([]byte{0x0c, 0xc3, 0x18, 0xc4, 0xdc, 0x0c, 0x0c, 0x07, 0x39, 0x8f}))
	if err != nil {
		t.Fatal(err)
	}
	if want := trug.ID("017f22e2-79b0-7cc3-98c4-dc0c0c07398f"); id != want {
		t.Errorf("got %s, the RFC has %s", id, want)
	}
}

func TestIdentifiersSayTheirVersion(t *testing.T) {
	id, err1 := trug.NewID(time.Unix(1e9, 0), rand.Reader)
	public, err2 := trug.NewPublicID(rand.Reader)
	if err1 != nil || err2 != nil || !id.Valid() || !public.Valid() {
		t.Fatalf("%s %v, %s %v", id, err1, public, err2)
	}
	if trug.ID(public).Valid() || trug.PublicID(id).Valid() {
		t.Error("one kind of identifier passes for the other")
	}
	for _, bad := range []trug.ID{"", "x", id[:35], id + "0", trug.ID(strings.ToUpper(string(id)))} {
		if bad.Valid() {
			t.Errorf("%q passes for an identifier", bad)
		}
	}
	if _, err := trug.NewID(time.Now(), strings.NewReader("short")); err == nil {
		t.Error("an identifier was made of too few random bits")
	}
}

// Later identifiers sort behind earlier ones, whatever their random bits.
func TestIDsSortByTime(t *testing.T) {
	ordered := func(ms uint32, later uint16) bool {
		at := time.UnixMilli(int64(ms))
		a, _ := trug.NewID(at, rand.Reader)
		b, _ := trug.NewID(at.Add(time.Duration(later)*time.Millisecond+time.Millisecond), rand.Reader)
		return a < b
	}
	if err := quick.Check(ordered, nil); err != nil {
		t.Error(err)
	}
}

// Forms of ISO 8601-1 that a When takes and writes.
func TestWhen(t *testing.T) {
	for _, c := range []struct {
		w   trug.When
		iso string
		bad bool
	}{
		{trug.When{Date: "2026-10-10"}, "2026-10-10", false},
		{trug.When{Date: "2026-10-10", Time: "11:34"}, "2026-10-10T11:34", false},
		{trug.When{Date: "2026-10-10", Time: "11:34:05", Offset: "+01:00"}, "2026-10-10T11:34:05+01:00", false},
		{trug.When{Date: "2026-10-10", Time: "11:34", Offset: "Z"}, "2026-10-10T11:34Z", false},
		{trug.When{Date: "2026-02-30"}, "2026-02-30", true},
		{trug.When{Date: "2026-10-10", Time: "25:00"}, "2026-10-10T25:00", true},
		{trug.When{Date: "2026-10-10", Time: "9:30"}, "2026-10-10T9:30", true},
		{trug.When{Date: "2026-10-10", Offset: "+01:00"}, "2026-10-10", true},
		{trug.When{Date: "2026-10-10", Time: "11:34", Offset: "+1"}, "2026-10-10T11:34+1", true},
		{trug.When{}, "", true},
	} {
		if got := c.w.ISO(); got != c.iso {
			t.Errorf("%+v is written %q, want %q", c.w, got, c.iso)
		}
		if err := c.w.Validate("found"); (err != nil) != c.bad {
			t.Errorf("%+v: %v, bad is %v", c.w, err, c.bad)
		}
	}
	east := trug.When{Date: "2026-10-10", Time: "11:34", Offset: "+01:00"}.Instant(time.UTC)
	if want := time.Date(2026, 10, 10, 10, 34, 0, 0, time.UTC); !east.Equal(want) {
		t.Errorf("11:34+01:00 is %v, want %v", east, want)
	}
}

func formed(r trug.Record, form string) trug.Record {
	r.Form = form
	return r
}

func TestFactsInOneSentence(t *testing.T) {
	at := &trug.Place{Position: place.Position{Lat: 48.5, Lon: -19.9}, Source: trug.FromPin}
	full := trug.Record{Place: at, Substrate: "soil"}
	for _, c := range []struct {
		record trug.Record
		kinds  []trug.ViewKind
		want   string
	}{
		{full, []trug.ViewKind{trug.Top, trug.Side, trug.Underneath}, "Top, side and underneath; no surroundings."},
		{full, trug.FourViews, "All four views."},
		{full, append([]trug.ViewKind{trug.Base}, trug.FourViews...), "All four views, and the base."},
		// A lichen is not asked for its lower side, nor a coral for its top.
		{formed(full, "lichen_leaf"), []trug.ViewKind{trug.Top, trug.CloseUp, trug.Surroundings}, "Top, surroundings and close-up."},
		{formed(full, "lichen_leaf"), []trug.ViewKind{trug.Top, trug.Surroundings}, "Top and surroundings; no close-up."},
		{formed(full, "lichen_leaf"), []trug.ViewKind{trug.Top, trug.Side, trug.Surroundings, trug.CloseUp}, "Top, side, surroundings and close-up."},
		{formed(full, "coral"), []trug.ViewKind{trug.Side}, "Side; no surroundings, no close-up."},
		{formed(full, "lichen_leaf"), trug.FourViews, "Top, side, underneath and surroundings; no close-up."},
		{full, []trug.ViewKind{trug.Top, trug.Top, trug.Cut}, "Top and cut; no side, no underneath, no surroundings."},
		{trug.Record{}, []trug.ViewKind{trug.Top}, "Top; no side, no underneath, no surroundings; no place yet; not said what it grows on."},
		{trug.Record{Place: at, Substrate: "soil", FieldName: trug.FieldName{Name: "Mycena pura"}}, nil, "No photograph; named in the hand by Ada."},
		{trug.Record{Place: at, Substrate: "soil", FieldName: trug.FieldName{Name: "Mycena pura", By: "Bo"}}, nil, "No photograph; named in the hand by Bo."},
		{full, nil, "No photograph and no name."},
	} {
		if got := trug.FactsOf(c.record, c.kinds, "Ada").Sentence(); got != c.want {
			t.Errorf("said %q, want %q", got, c.want)
		}
	}
}

func TestSeasonSaysAllItsFaults(t *testing.T) {
	err := trug.Season{Code: "w", Starts: "2026-10-25", Ends: "2026-09-26"}.Validate()
	faults, ok := err.(trug.Faults)
	if !ok {
		t.Fatalf("got %v, want faults", err)
	}
	var fields []string
	for _, f := range faults {
		fields = append(fields, f.Field)
		if f.Kind != trug.Invalid || f.Says == "" {
			t.Errorf("%+v is no sentence of kind Invalid", f)
		}
	}
	if got, want := strings.Join(fields, " "), "code title place ends area zone licence"; got != want {
		t.Errorf("faults of %q, want %q", got, want)
	}
	if trug.KindOf(err) != trug.Invalid {
		t.Errorf("kind %v of faults, want Invalid", trug.KindOf(err))
	}
}
