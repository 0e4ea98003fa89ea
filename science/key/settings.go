package key

import (
	"fmt"
	"math"
)

// Settings say how observers err and how sizes vary. They are chosen by
// cross-validation on simulated finds (see bench/key) or by judgement, as
// each says; none is fitted to the specimens that the key is tested with.
type Settings struct {
	// NotInKey is the probability, before the first answer, that the find is
	// of none of the key's taxa; 0 leaves the hypothesis out.
	NotInKey float64
	// Kinship is how far a taxon that is not in the key resembles one that
	// is, 0 to 1: the share of its characters that it has in common with its
	// nearest there, beyond chance.
	Kinship float64
	// Wrong is the probability that an answer is wrong, where ByCharacter
	// says nothing else.
	Wrong float64
	// ByCharacter holds what is known of characters, by identifier.
	ByCharacter map[string]Trait
	// Size says how the sizes of a taxon lie about its printed range.
	Size Size
	// Sharpness is the power to which the likelihood of every answer is raised;
	// 0 means 1, the likelihood itself. It changes no order of taxa, only how
	// sure the stated probabilities are (temperature scaling, Guo et al. 2017:
	// its temperature is 1/Sharpness).
	Sharpness float64
}

// Trait is what is known of one character as an observer meets it.
type Trait struct {
	// Wrong is the probability that an answer is wrong.
	Wrong float64
	// Effort is what looking costs, 1 for a glance; 0 means 1.
	Effort float64
}

// Size says how a taxon's sizes lie about its printed range from low to high.
type Size struct {
	// SDs is how many standard deviations the range reaches to either side
	// of its middle, where sizes are normal. 0 means Tolerant.
	SDs float64
	// Shoulder, where SDs is 0: sizes are equally likely within the range, on
	// a logarithmic scale, and fall off beyond it as a normal curve with this
	// standard deviation of the natural logarithm.
	Shoulder float64
}

// TolerantShoulder makes the likelihood of a size fall to one tenth where the
// printed range is halved or doubled, and no sooner: ln 2 / sqrt(2 ln 10)
// (the trade's measurement.md, "never exclude a species on size alone").
var TolerantShoulder = math.Ln2 / math.Sqrt(2*math.Ln10)

// Uniform returns settings with one rate of error for every character and
// sizes normal with the range as three standard deviations to either side:
// the model of the published simulation (Wagner, Heider & Hattab 2021).
func Uniform(wrong float64) Settings {
	return Settings{NotInKey: standardNotInKey, Kinship: standardKinship, Wrong: wrong, Size: Size{SDs: 3}, Sharpness: uniformSharpness}
}

// Kinship is where telling absent species from present ones was best, over
// finds simulated in bench/key with a fifth of the species taken out in turn
// (-choose: mean AUROC .983 from 0.3 to 0.5, .975 at 0, .974 at 0.9). NotInKey
// is a guess of how often people meet what a small key lacks; where many finds
// are at hand, Estimate takes it from them.
//
// Sharpness is where the stated probability was truest over finds simulated in
// bench/key (-choose: mean calibration error, rates estimated, of six and of
// all characters). Above 1 it makes up for taxa of which the matrix is silent:
// a simulated specimen never has an answer there, yet the key must leave room
// for one, so its probabilities are too low. Of people's answers nobody has
// measured that, and Standard leaves it at 1.
const (
	standardNotInKey = 0.02
	standardKinship  = 0.4
	uniformSharpness = 1.1
)

// bounds keep every likelihood above zero, so that no answer is ever final.
const leastWrong = 1e-6

func (s Settings) validate() error {
	for _, v := range []struct {
		name      string
		v, lo, hi float64
	}{
		{"the probability of a taxon that is not in the key", s.NotInKey, 0, 0.99},
		{"kinship", s.Kinship, 0, 0.99},
		{"the rate of wrong answers", s.Wrong, 0, 0.99},
		{"the range in standard deviations", s.Size.SDs, 0, 100},
		{"the shoulder of sizes", s.Size.Shoulder, 0, 100},
		{"the sharpness", s.Sharpness, 0, 10},
	} {
		if !(v.v >= v.lo && v.v <= v.hi) {
			return fmt.Errorf("%s is %g: it must lie from %g to %g", v.name, v.v, v.lo, v.hi)
		}
	}
	if s.Size.SDs == 0 && s.Size.Shoulder == 0 {
		return fmt.Errorf("nothing is said about how sizes vary: set Size.SDs or Size.Shoulder")
	}
	for id, t := range s.ByCharacter {
		if !(t.Wrong >= 0 && t.Wrong <= 0.99) || !(t.Effort >= 0) {
			return fmt.Errorf("the character %s has the rate of wrong answers %g and the effort %g", id, t.Wrong, t.Effort)
		}
	}
	return nil
}

func (s Settings) wrong(id string) float64 {
	if t, ok := s.ByCharacter[id]; ok {
		return max(t.Wrong, leastWrong)
	}
	return max(s.Wrong, leastWrong)
}

func (s Settings) effort(id string) float64 {
	if t, ok := s.ByCharacter[id]; ok && t.Effort > 0 {
		return t.Effort
	}
	return 1
}
