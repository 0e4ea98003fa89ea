package web

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
	"trug/science/place"
)

// telling gives every protected name of the invented season the rule.
func telling(t *testing.T, s apptest.Season, rule trug.Telling) {
	t.Helper()
	for _, p := range s.Demo.Protections {
		e := app.ShownProtection{Name: p.Name, Reason: p.Reason, Category: p.Category, Tells: rule}
		if _, err := s.SaveProtection(t.Context(), s.As("R02"), p.ID, e); err != nil {
			t.Fatal(err)
		}
	}
}

// Each rule of a protected name: what of the find's place is in the deposit,
// read in every notation, and that no route tells others of the find.
func TestEachRuleOfAProtectedName(t *testing.T) {
	s := apptest.New(t, "2026-11-25")
	list := secrets(t, s.Demo)
	withPhotographs(t, s, list)
	h := Handler(s.App, Options{})
	for _, rule := range trug.Tellings {
		t.Run("tells "+string(rule), func(t *testing.T) {
			telling(t, s, rule)
			var archive bytes.Buffer
			if _, err := s.WriteArchive(t.Context(), app.Desk(s.Demo.Season.ID), &archive); err != nil {
				t.Fatal(err)
			}
			files := open(t, archive.Bytes())
			neighbours := openPlaces(s, list)
			for _, x := range list {
				known := neighbours + square(t, x, rule)
				for name, text := range files {
					leaks(t, name, text, coarser(t, x, rule), known)
				}
				if rule == trug.TellNothing {
					for name, text := range files {
						if strings.Contains(text, string(x.record.Public)) {
							t.Errorf("%s tells that there is the find %s", name, x.record.Number)
						}
					}
					continue
				}
				rowsOf(t, files, x, s)
				if side := rule.Side(); side > 0 {
					inSquare(t, files, x, side)
				}
			}
			for _, code := range []string{"", "R01", "R08"} {
				c := newClient(t, s, h, code)
				_, book := c.do("GET", "/api/records?limit=500", nil, "")
				for _, x := range list {
					if code != "" && s.As(code).Person.ID == x.record.RecorderID {
						continue
					}
					leaks(t, "the Record book for "+code, book, x, neighbours)
					if status, _ := c.do("GET", "/api/records/"+string(x.record.ID), nil, ""); status == 200 {
						t.Errorf("%s is there for %q", x.record.Number, code)
					}
				}
			}
		})
	}
}

// coarser leaves of a find's notations those that are finer than the rule tells.
func coarser(t *testing.T, x secret, rule trug.Telling) secret {
	t.Helper()
	if rule.Side() != 1000 {
		return x
	}
	told := square(t, x, rule)
	out := secret{record: x.record}
	for _, w := range x.words {
		if !strings.Contains(told, w) {
			out.words = append(out.words, w)
		}
	}
	return out
}

// square is the text of the square that a rule tells of a find: its name, with
// and without blanks and as the military grid writes it, and its middle.
func square(t *testing.T, x secret, rule trug.Telling) string {
	t.Helper()
	if rule.Side() == 0 {
		return ""
	}
	out := ""
	for side := rule.Side(); side <= 10_000; side *= 10 {
		sq, err := place.SquareOf(x.record.Place.Position, side)
		if err != nil {
			t.Fatal(err)
		}
		mgrs, err := place.MGRS(x.record.Place.Position, side)
		if err != nil {
			t.Fatal(err)
		}
		out += fmt.Sprintf("%s\n%s\n%s\n%.4f %.4f\n", sq.Name(), strings.ReplaceAll(sq.Name(), " ", ""), mgrs, sq.Centre().Lat, sq.Centre().Lon)
	}
	return out
}

// inSquare reads the find's row: its place is the middle of a square of the
// side, the circle round it holds the true place, and no digit tells more.
func inSquare(t *testing.T, files map[string]string, x secret, side place.Metres) {
	t.Helper()
	r := csv.NewReader(strings.NewReader(files["event.txt"]))
	r.Comma, r.LazyQuotes = '\t', true
	head, err := r.Read()
	if err != nil {
		t.Fatal(err)
	}
	for {
		row, err := r.Read()
		if err == io.EOF {
			t.Errorf("no event of %s", x.record.Number)
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(strings.Join(row, "\t"), string(x.record.Public)) {
			continue
		}
		cell := map[string]string{}
		for i, h := range head {
			cell[h] = row[i]
		}
		number := func(column string) float64 {
			v, err := strconv.ParseFloat(cell[column], 64)
			if err != nil {
				t.Fatalf("%s of %s: %v", column, x.record.Number, err)
			}
			return v
		}
		at := place.Position{Lat: place.Degrees(number("decimalLatitude")), Lon: place.Degrees(number("decimalLongitude"))}
		sq, err := place.SquareOf(x.record.Place.Position, side)
		if err != nil {
			t.Fatal(err)
		}
		if d := place.Distance(at, sq.Centre()); d > 12 { // of rounding to a ten-thousandth of a degree
			t.Errorf("%s stands %.0f m from the middle of %s", x.record.Number, d, sq.Name())
		}
		if u := number("coordinateUncertaintyInMeters"); u < float64(side)*math.Sqrt2/2 || float64(place.Distance(at, x.record.Place.Position)) > u {
			t.Errorf("%s: %.0f m round the middle of %s do not hold it", x.record.Number, u, sq.Name())
		}
		if !strings.Contains(cell["dataGeneralizations"], sq.Name()) || cell["eventDate"] != string(x.record.Found.Date[:7]) {
			t.Errorf("%s: %q on %q", x.record.Number, cell["dataGeneralizations"], cell["eventDate"])
		}
		return
	}
}
