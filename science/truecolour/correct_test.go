package truecolour

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"trug/science/card"
	"trug/science/colour"
)

// brownish are colours as fungi show them, none of them on the card.
var brownish = []colour.Lab{
	{L: 82, A: 3, B: 22}, {L: 68, A: 12, B: 38}, {L: 55, A: 18, B: 30}, {L: 45, A: 14, B: 20}, {L: 35, A: 10, B: 14},
	{L: 62, A: 2, B: 12}, {L: 48, A: 35, B: 28}, {L: 72, A: -2, B: 45}, {L: 58, A: 6, B: -8}, {L: 78, A: 14, B: 8},
}

// TestCorrectUndoesACamera: a camera with matrix, cast, curve and a slope of
// light is undone for colours that are not on the card, within CIEDE2000 2, and
// far better than without the card.
func TestCorrectUndoesACamera(t *testing.T) {
	for _, l := range card.Layouts() {
		ref := whole(l)
		c, err := Correct(samplesOf(l, ref, phone), ref, l)
		if err != nil {
			t.Fatal(err)
		}
		f := frameOf(l)
		for _, want := range brownish {
			at := card.Spot{X: l.Width / 2, Y: -15}
			stored := phone.stored(linearOf(want), f.place(at))
			for i := range stored {
				stored[i] = colour.Decode(stored[i])
			}
			got, raw := c.Lab(stored, at), labOf(stored)
			if d := colour.Difference(got, want); d > 2 {
				t.Errorf("%s: %.1f came out as %.1f: %.2f (uncorrected %.2f)", l.ID, want, got, d, colour.Difference(raw, want))
			}
			if in, r := c.Spread(stored, at).Holds(got, want); !in {
				t.Errorf("%s: %.1f lies outside the 95 %% region of %.1f (%.2f radii)", l.ID, want, got, r)
			}
		}
		if c.GreysOnly || c.Model == WhiteBalance || len(c.LeaveOneOut) != 3 || c.Clipped+c.Rejected+c.Patches != len(l.Patches) {
			t.Errorf("%s: %+v", l.ID, c)
		}
		if c.Unevenness < 1.15 || c.Unevenness > 1.6 {
			t.Errorf("%s: unevenness %.2f", l.ID, c.Unevenness)
		}
	}
}

// TestCorrectLeavesTrueColours: a camera without any fault is left alone.
func TestCorrectLeavesTrueColours(t *testing.T) {
	l := pocket(t)
	ref := whole(l)
	c, err := Correct(samplesOf(l, ref, plainCamera), ref, l)
	if err != nil {
		t.Fatal(err)
	}
	if c.Model != WhiteBalance {
		t.Errorf("a richer model than needed: %v", c.LeaveOneOut)
	}
	for _, want := range brownish {
		at := card.Spot{X: 45, Y: 30}
		stored := plainCamera.stored(linearOf(want), frameOf(l).place(at))
		for i := range stored {
			stored[i] = colour.Decode(stored[i])
		}
		if d := colour.Difference(c.Lab(stored, at), want); d > 0.7 {
			t.Errorf("%v is off by %.2f", want, d)
		}
	}
}

// TestExposureLeavesHues: half the light on card and fungus alike changes nothing.
func TestExposureLeavesHues(t *testing.T) {
	l := pocket(t)
	ref := whole(l)
	at := card.Spot{X: 45, Y: -10}
	var got [2]colour.Lab
	for i, k := range []float64{1, 0.5} {
		cam := phone
		for c := range cam.cast {
			cam.cast[c] *= k
		}
		c, err := Correct(samplesOf(l, ref, cam), ref, l)
		if err != nil {
			t.Fatal(err)
		}
		stored := cam.stored(linearOf(brownish[1]), frameOf(l).place(at))
		for i := range stored {
			stored[i] = colour.Decode(stored[i])
		}
		got[i] = c.Lab(stored, at)
	}
	if d := colour.Difference(got[0], got[1]); d > 1 {
		t.Errorf("%v and %v: %.2f", got[0], got[1], d)
	}
}

// TestGreysOnly: without measured colours there is tone curve and white balance,
// and a wide region that says so.
func TestGreysOnly(t *testing.T) {
	l := pocket(t)
	c, err := Correct(samplesOf(l, whole(l), phone), Unmeasured(l), l)
	if err != nil {
		t.Fatal(err)
	}
	if !c.GreysOnly || c.Model != WhiteBalance {
		t.Errorf("%+v", c)
	}
	m, err := Correct(samplesOf(l, whole(l), phone), whole(l), l)
	if err != nil {
		t.Fatal(err)
	}
	stored := [3]float64{0.3, 0.2, 0.1}
	if g, w := c.Spread(stored, card.Spot{}).GiveOrTake(c.Lab(stored, card.Spot{})), m.Spread(stored, card.Spot{}).GiveOrTake(m.Lab(stored, card.Spot{})); g < 1.5*w {
		t.Errorf("greys only give or take %.1f, a measured card %.1f", g, w)
	}
	told := false
	for _, a := range c.Advise(nil, false) {
		told = told || a.Condition == NeverMeasured && !a.Stops
	}
	if !told {
		t.Error("it is not said that the colours were never measured")
	}
}

func TestCorrectRefuses(t *testing.T) {
	l := pocket(t)
	ref := whole(l)
	if _, err := Correct(nil, ref, l); !errors.Is(err, ErrFewGreys) {
		t.Errorf("no samples: %v", err)
	}
	blown := samplesOf(l, ref, phone)
	for i := range blown {
		blown[i].Clipped = [3]bool{true, true, true}
	}
	if _, err := Correct(blown, ref, l); !errors.Is(err, ErrFewGreys) {
		t.Errorf("all blown out: %v", err)
	}
	even := samplesOf(l, ref, phone)
	for i := range even {
		even[i].Light = [3]float64{0.4, 0.4, 0.4}
	}
	if _, err := Correct(even, ref, l); !errors.Is(err, ErrTone) {
		t.Errorf("greys all alike: %v", err)
	}
	upside := samplesOf(l, ref, phone)
	for i := range upside {
		for c := range 3 {
			upside[i].Light[c] = 1 - upside[i].Light[c]
		}
	}
	if _, err := Correct(upside, ref, l); err == nil {
		t.Error("a negative was corrected")
	}
}

// FuzzCorrect: whatever the samples, an error or finite numbers.
func FuzzCorrect(f *testing.F) {
	f.Add(uint64(1), 0.5, false)
	f.Add(uint64(2), 1.0, true)
	f.Add(uint64(3), 0.01, false)
	f.Fuzz(func(t *testing.T, seed uint64, amount float64, measured bool) {
		if !(amount >= 0 && amount <= 1) {
			return
		}
		l := pocket(t)
		ref := whole(l)
		samples := samplesOf(l, ref, phone)
		rnd := rand.New(rand.NewPCG(seed, 1))
		for i := range samples {
			for c := range 3 {
				samples[i].Light[c] = samples[i].Light[c]*(1-amount) + amount*rnd.Float64()
				samples[i].Clipped[c] = rnd.Float64() < amount/2
			}
			samples[i].Kept = 1 - amount*rnd.Float64()
		}
		if !measured {
			ref = Unmeasured(l)
		}
		c, err := Correct(samples, ref, l)
		if err != nil {
			return
		}
		for range 5 {
			stored := [3]float64{rnd.Float64(), rnd.Float64(), rnd.Float64()}
			at := card.Spot{X: card.Millimetres(400*rnd.Float64() - 200), Y: card.Millimetres(400*rnd.Float64() - 200)}
			lab := c.Lab(stored, at)
			if math.IsNaN(lab.L+lab.A+lab.B) || math.IsInf(lab.L+lab.A+lab.B, 0) {
				t.Fatalf("%v became %v", stored, lab)
			}
			for _, row := range c.Spread(stored, at) {
				for _, v := range row {
					if math.IsNaN(v) {
						t.Fatalf("%v: no spread", stored)
					}
				}
			}
		}
		c.Advise(samples, false)
	})
}

func TestReadReference(t *testing.T) {
	l := pocket(t)
	var b strings.Builder
	b.WriteString("patch,L*,a*,b*,illuminant,observer\n")
	for _, p := range l.Patches {
		b.WriteString(p.ID + ",50,10,20,D50,2\n")
	}
	good := b.String()
	r, err := ReadReference(strings.NewReader(good+"paper,94,1,-4,D50,2°\n"), l)
	if err != nil {
		t.Fatal(err)
	}
	if !r.Measured || len(r.Lab) != len(l.Patches)+1 {
		t.Errorf("%+v", r)
	}
	// D50 is carried to D65 by Bradford, as science/colour does.
	want := colour.Lab{L: 50, A: 10, B: 20}.Adapt(colour.D50, colour.D65)
	if got := r.Lab["ochre"]; got != want {
		t.Errorf("ochre is %v, want %v", got, want)
	}
	for what, bad := range map[string]string{
		"nothing":        "",
		"no header":      "ochre,50,10,20,D50,2\n",
		"missing":        "patch,L*,a*,b*,illuminant,observer\nochre,50,10,20,D50,2\n",
		"ten degrees":    strings.Replace(good, "D50,2\n", "D50,10\n", 1),
		"illuminant":     strings.Replace(good, "D50", "F11", 1),
		"twice":          good + "ochre,50,10,20,D50,2\n",
		"unknown":        good + "mauve,50,10,20,D50,2\n",
		"number":         strings.Replace(good, "50,10", "5O,10", 1),
		"NaN":            strings.Replace(good, "50,10", "NaN,10", 1),
		"lightness":      strings.Replace(good, "50,10", "130,10", 1),
		"ragged":         good + "paper,94\n",
		"bare quotation": good + "pa\"per,1,2,3,D50,2\n",
	} {
		if _, err := ReadReference(strings.NewReader(bad), l); !errors.Is(err, ErrReference) {
			t.Errorf("%s: %v", what, err)
		}
	}
}

func FuzzReadReference(f *testing.F) {
	l := card.Layouts()[0]
	f.Add("patch,L*,a*,b*,illuminant,observer\nochre,50,10,20,D50,2\n")
	f.Add("observer,b*,a*,l,illuminant,patch\n2°,1,2,3,c,grey-1\n")
	f.Fuzz(func(t *testing.T, s string) {
		r, err := ReadReference(strings.NewReader(s), l)
		if err == nil && len(r.Lab) < len(l.Patches) {
			t.Fatalf("%q lacks patches", s)
		}
	})
}

func TestCombine(t *testing.T) {
	if _, err := Combine(nil); !errors.Is(err, ErrNoViews) {
		t.Errorf("nothing: %v", err)
	}
	one := Seen{colour.Lab{L: 50, A: 10, B: 20}, colour.RoundSpread(2)}
	got, err := Combine([]Seen{one})
	if err != nil || got.Seen != one || !got.Agree {
		t.Errorf("one view: %+v, %v", got, err)
	}
	two, err := Combine([]Seen{one, {colour.Lab{L: 52, A: 11, B: 21}, colour.RoundSpread(2)}})
	if err != nil || !two.Agree || math.Abs(two.Lab.L-51) > 0.01 {
		t.Errorf("two views: %+v, %v", two, err)
	}
	// Half alike: the variance of two falls to three quarters.
	if v := two.Spread[0][0]; math.Abs(v-3) > 0.05 {
		t.Errorf("variance %.3f, want 3", v)
	}
	// The surer view counts more.
	sure, _ := Combine([]Seen{{one.Lab, colour.RoundSpread(1)}, {colour.Lab{L: 55, A: 10, B: 20}, colour.RoundSpread(3)}})
	if math.Abs(sure.Lab.L-50.5) > 0.02 {
		t.Errorf("L %.3f, want 50.5", sure.Lab.L)
	}
	apart, _ := Combine([]Seen{one, {colour.Lab{L: 70, A: 30, B: 40}, colour.RoundSpread(2)}})
	if apart.Agree || apart.Spread[0][0] < 20 {
		t.Errorf("views that differ: %+v", apart)
	}
}

func BenchmarkCorrect(b *testing.B) {
	l := pocket(b)
	ref := whole(l)
	samples := samplesOf(l, ref, phone)
	for b.Loop() {
		if _, err := Correct(samples, ref, l); err != nil {
			b.Fatal(err)
		}
	}
}
