package key

import (
	"errors"
	"math"
)

// Expectation is what is known of a taxon before a find is looked at.
type Expectation struct {
	// Recorded counts settled records of it where and when the find was made.
	Recorded int
	// OutOfSeason says that it is not known to fruit in the find's month.
	OutOfSeason bool
	// Elsewhere says that its habitat or range does not reach the find's place.
	Elsewhere bool
}

// What a prior may do at most: an early fruiting or a new site is news, not
// nonsense (our choice).
const (
	unexpected = 0.2 // for each of season and place
	pseudo     = 1   // records that every taxon is credited with
)

// Prior turns expectations, one a taxon, into weights for Start: the records
// plus one, a fifth of that out of season and again outside of its places. It
// never rules a taxon out.
func Prior(taxa []Expectation) []float64 {
	out := make([]float64, len(taxa))
	for i, e := range taxa {
		out[i] = float64(max(e.Recorded, 0) + pseudo)
		if e.OutOfSeason {
			out[i] *= unexpected
		}
		if e.Elsewhere {
			out[i] *= unexpected
		}
	}
	return out
}

// Rates are estimated from many finds.
type Rates struct {
	// Wrong is the share of wrong values, NotInKey that of finds of which the
	// key lacks the taxon.
	Wrong, NotInKey float64
}

// Estimate finds the uniform rate of wrong values and the share of finds that
// are not in the key under which the finds' answers are likeliest (maximum
// marginal likelihood; nobody's names are used). The key for a rate comes from
// make and should have the Sharpness 1, since a sharpened likelihood is none. It needs some hundred finds to mean anything and looks at 1,000 at most,
// evenly spread. Both stay within 0.001 to 0.4.
func Estimate(finds [][]Answer, make func(wrong float64) (*Key, error)) (Rates, error) {
	if len(finds) == 0 {
		return Rates{}, errors.New("rates can't be estimated without a find")
	}
	var sample [][]Answer
	for i := 0; i < min(len(finds), 1000); i++ {
		sample = append(sample, finds[i*len(finds)/min(len(finds), 1000)])
	}
	var failed error
	likely := func(logWrong float64) (float64, float64) {
		k, err := make(math.Exp(logWrong))
		if err == nil {
			var ll, strangers float64
			if ll, strangers, err = k.evidence(sample); err == nil {
				return ll, strangers
			}
		}
		failed = err
		return math.Inf(-1), 0
	}
	// Golden section on the logarithm of the rate.
	const golden = 0.6180339887498949
	low, high := math.Log(0.001), math.Log(0.4)
	a, b := high-golden*(high-low), low+golden*(high-low)
	fa, sa := likely(a)
	fb, sb := likely(b)
	for high-low > 0.05 && failed == nil {
		if fa >= fb {
			high, b, fb, sb = b, a, fa, sa
			a = high - golden*(high-low)
			fa, sa = likely(a)
		} else {
			low, a, fa, sa = a, b, fb, sb
			b = low + golden*(high-low)
			fb, sb = likely(b)
		}
	}
	if fb > fa {
		a, sa = b, sb
	}
	return Rates{Wrong: math.Exp(a), NotInKey: sa}, failed
}

// evidence returns the logarithm of the finds' likelihood at the best share of
// strangers, and that share, by expectation and maximisation.
func (k *Key) evidence(finds [][]Answer) (float64, float64, error) {
	in, out := make([]float64, len(finds)), make([]float64, len(finds))
	for i, answers := range finds {
		f, err := k.Start(nil)
		if err != nil {
			return 0, 0, err
		}
		for _, a := range answers {
			if err := f.Give(a); err != nil {
				return 0, 0, err
			}
		}
		in[i], out[i] = f.logIn, math.Inf(-1)
		if f.out != nil {
			out[i] = f.logOut
		}
	}
	share, ll := 0.05, 0.0
	for range 60 {
		ll = 0
		strangers := 0.0
		for i := range in {
			top := max(in[i], out[i])
			a, b := (1-share)*math.Exp(in[i]-top), share*math.Exp(out[i]-top)
			strangers += b / (a + b)
			ll += top + math.Log(a+b)
		}
		share = min(max(strangers/float64(len(in)), 0.001), 0.4)
	}
	return ll, share, nil
}
