package place

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

const minute, second = 1.0 / 60, 1.0 / 3600

// TestParsePosition: the values follow from 60 minutes to a degree and 60
// seconds to a minute; 48° 33′ 45.36″ = 48.5626 and 19° 56′ 51.36″ = 19.9476.
func TestParsePosition(t *testing.T) {
	for _, c := range []struct {
		text           string
		lat, lon, step float64
	}{
		{"48.5626, -19.9476", 48.5626, -19.9476, 1e-4},
		{"48.5626 -19.9476", 48.5626, -19.9476, 1e-4},
		{"48.5626,19.9476", 48.5626, 19.9476, 1e-4},
		{"48.5626,-19.9476", 48.5626, -19.9476, 1e-4},
		{"48.5626;19.9476", 48.5626, 19.9476, 1e-4},
		{"(48.5626, -19.9476)", 48.5626, -19.9476, 1e-4},
		{"+48.5626 +19.9476", 48.5626, 19.9476, 1e-4},
		{"−48.5626 −19.9476", -48.5626, -19.9476, 1e-4},
		{"48.5626N 19.9476W", 48.5626, -19.9476, 1e-4},
		{"48.5626° N, 19.9476° W", 48.5626, -19.9476, 1e-4},
		{"N48.5626 W019.9476", 48.5626, -19.9476, 1e-4},
		{"N48.5626W019.9476", 48.5626, -19.9476, 1e-4},
		{"19.9476W 48.5626N", 48.5626, -19.9476, 1e-4},
		{"W19.9476, N48.5626", 48.5626, -19.9476, 1e-4},
		{"48,5626 -19,9476", 48.5626, -19.9476, 1e-4},
		{"48,5626, -19,9476", 48.5626, -19.9476, 1e-4},
		{"48,5626; 19,9476", 48.5626, 19.9476, 1e-4},
		{"48,5626N 19,9476W", 48.5626, -19.9476, 1e-4},
		{"48,5,19,5", 48.5, 19.5, 0.1},
		{"48, 19", 48, 19, 1},
		{"48 19", 48, 19, 1},
		{"48.50, 19.9", 48.5, 19.9, 0.1},
		{"48.5N,19W", 48.5, -19, 1},
		{"lat 48.5626 lon -19.9476", 48.5626, -19.9476, 1e-4},
		{"Lat: 48.5626, Long: -19.9476", 48.5626, -19.9476, 1e-4},
		{"lon=-19.9476 lat=48.5626", 48.5626, -19.9476, 1e-4},
		{"latitude 48.5626 N longitude 19.9476 W", 48.5626, -19.9476, 1e-4},
		{"48° 33.756' N 19° 56.856' W", 48.5626, -19.9476, minute / 1000},
		{"48°33.756′N 19°56.856′W", 48.5626, -19.9476, minute / 1000},
		{"N 48° 33,756' W 19° 56,856'", 48.5626, -19.9476, minute / 1000},
		{"48 33.756 -19 56.856", 48.5626, -19.9476, minute / 1000},
		{"48 33,756 19 56,856", 48.5626, 19.9476, minute / 1000},
		{"48 33 N 19 57 W", 48.55, -19.95, minute},
		{"48° 33' N, 19° W", 48.55, -19, 1},
		{"48° 33′ 45.36″ N 19° 56′ 51.36″ W", 48.5626, -19.9476, second / 100},
		{"48º33’45.36” N, 19º56’51.36” W", 48.5626, -19.9476, second / 100},
		{"48°33'45.36''N 19°56'51.36''W", 48.5626, -19.9476, second / 100},
		{"48:33:45.36N 19:56:51.36W", 48.5626, -19.9476, second / 100},
		{"48:33:45.36 -19:56:51.36", 48.5626, -19.9476, second / 100},
		{"48:33:45.36 19:56:51.36", 48.5626, 19.9476, second / 100},
		{"48:33.756 19:56.856", 48.5626, 19.9476, minute / 1000},
		{"48 33 45.36, -19 56 51.36", 48.5626, -19.9476, second / 100},
		{"48 33 45.36 19 56 51.36", 48.5626, 19.9476, second / 100},
		{"48° 33' 45.36\" 19° 56' 51.36\"", 48.5626, 19.9476, second / 100},
		{"48d 33m 45.36s N 19d 56m 51.36s W", 48.5626, -19.9476, second / 100},
		{"48 deg 33 min 45.36 sec North, 19 deg 56 min 51.36 sec West", 48.5626, -19.9476, second / 100},
		{"0° 30' S 0° 15' E", -0.5, 0.25, minute},
		{"-0 30, 0 15", -0.5, 0.25, minute},
		{"0, 0", 0, 0, 1},
		{"90S 180W", -90, -180, 1},
	} {
		p, step, err := ParsePosition(c.text)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		near(t, c.text+" latitude", float64(p.Lat), c.lat, 1e-12)
		near(t, c.text+" longitude", float64(p.Lon), c.lon, 1e-12)
		near(t, c.text+" precision", float64(step), c.step, c.step*1e-9)
	}
}

// TestParsePositionErrors: each sentence must name what is wrong.
func TestParsePositionErrors(t *testing.T) {
	for text, part := range map[string]string{
		"":                        "is empty",
		"  ":                      "is empty",
		"48.5626":                 "two numbers",
		"48,5626":                 "two numbers",
		"48,56":                   "two ways",
		"123.4, 45":               "swapped",
		"95, 170":                 "latitude 95 lies outside",
		"48, 340.05":              "here -19.95",
		"48, 400":                 "longitude 400",
		"48° 75' N 19° W":         "minutes of the latitude are 75",
		"48° 33' 61\" N 19° W":    "seconds of the latitude are 61",
		"48.5° 33' N 19° W":       "only the last number may have decimals",
		"-48 N 19 W":              "minus sign and the letter N",
		"48 N 19 N":               "both coordinates are given as latitude",
		"lat 48 E lon 19":         "cannot belong to a latitude",
		"48 N S, 19 W":            "N and S",
		"48 O, 19 N":              "letter O",
		"1, 2, 3":                 "more than two parts",
		"48 33 45 19 56":          "nothing between them",
		"48 33 45 12, 19":         "has 4 numbers",
		"N, 48 19":                "has no number",
		"48 x 19":                 `"x" is not part`,
		"48.1.2, 3":               "does not belong",
		"48 # 19":                 "does not belong",
		"' 48, 19":                "does not follow a number",
		"33' N 19° W":             "where the degrees belong",
		"48\xff, 19":              "broken character",
		strings.Repeat("4", 300):  "too long",
		strings.Repeat("9 ", 90):  "numbers",
		"1e5, 3":                  "letter E stands between",
		"99999999999999999999, 1": "outside",
	} {
		p, _, err := ParsePosition(text)
		if err == nil {
			t.Errorf("%q became %v", text, p)
		} else if !strings.Contains(err.Error(), part) {
			t.Errorf("%q: the error %q does not say %q", text, err, part)
		}
	}
}

func TestValid(t *testing.T) {
	for _, p := range []Position{{Degrees(math.NaN()), 0}, {0, Degrees(math.NaN())}, {Degrees(math.Inf(1)), 0}, {0, Degrees(math.Inf(-1))}, {90.1, 0}, {0, -180.1}} {
		if p.Valid() == nil {
			t.Errorf("%v is taken as valid", p)
		}
	}
	for _, p := range []Position{{90, 180}, {-90, -180}, {}} {
		if err := p.Valid(); err != nil {
			t.Errorf("%v: %v", p, err)
		}
	}
}

func TestFormat(t *testing.T) {
	p := Position{48.5626, -19.9476}
	for _, c := range []struct{ got, want string }{
		{FormatDecimal(p, 0.0001), "48.5626, -19.9476"},
		{FormatDecimal(p, 0.1), "48.6, -19.9"},
		{FormatDecimal(p, 1), "49, -20"},
		{FormatDecimal(p, 0), "48.56260000, -19.94760000"},
		{FormatDecimal(Position{-0.00001, 0}, 0.001), "0.000, 0.000"},
		{FormatDMS(p, 1), "49° N 20° W"},
		{FormatDMS(p, minute), "48° 34′ N 19° 57′ W"},
		{FormatDMS(p, second), "48° 33′ 45″ N 19° 56′ 51″ W"},
		{FormatDMS(p, second/100), "48° 33′ 45.36″ N 19° 56′ 51.36″ W"},
		{FormatDMS(Position{0.9999999, -0.99999}, second), "1° 00′ 00″ N 1° 00′ 00″ W"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

// TestFormatRoundTrip: what is written is read back, within half a step.
func TestFormatRoundTrip(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	for range 2000 {
		p := Position{Degrees(rng.Float64()*180 - 90), Degrees(rng.Float64()*360 - 180)}
		for _, step := range []Degrees{1, 0.1, 0.00001, minute, second, second / 10} {
			for _, text := range []string{FormatDecimal(p, step), FormatDMS(p, step)} {
				q, shown, err := ParsePosition(text)
				if err != nil {
					t.Fatalf("%v was written as %q: %v", p, text, err)
				}
				tolerance := float64(shown)/2 + 1e-9
				near(t, text, float64(q.Lat), float64(p.Lat), tolerance)
				near(t, text, float64(q.Lon), float64(p.Lon), tolerance)
			}
		}
	}
}

func FuzzParsePosition(f *testing.F) {
	for _, text := range []string{"48.5626, -19.9476", "48° 33′ 45.36″ N 19° 56′ 51.36″ W", "48,5626; 19,9476", "lat: 1 lon: 2", "48:33:45 19:56", "48d 3m 1s N 1 W"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		p, step, err := ParsePosition(text)
		if err != nil {
			if err.Error() == "" {
				t.Error("an error without a sentence")
			}
			return
		}
		if p.Valid() != nil || !(step > 0 && step <= 1) {
			t.Errorf("%q gave %v with precision %v", text, p, step)
		}
	})
}

func BenchmarkParsePosition(b *testing.B) {
	for b.Loop() {
		if _, _, err := ParsePosition("48° 33′ 45.36″ N 19° 56′ 51.36″ W"); err != nil {
			b.Fatal(err)
		}
	}
}
