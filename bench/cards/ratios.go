package main

import (
	"fmt"
	"math"
)

// ratios prints what was reached beside the better of the references in the
// same run, each as a part of the other.
func ratios(scores []*score) {
	var our *score
	var refs []*score
	for _, s := range scores {
		if s.detector == ours {
			our = s
		} else if s.cardsOf > 0 {
			refs = append(refs, s)
		}
	}
	if our == nil || len(refs) == 0 {
		return
	}
	fmt.Println("\nours beside the better reference of this run")
	best := func(of func(*score) float64) (*score, float64) {
		at, least := refs[0], math.Inf(1)
		for _, s := range refs {
			if v := of(s); v < least {
				at, least = s, v
			}
		}
		return at, least
	}
	line := func(what, unit string, of func(*score) float64) {
		s, v := best(of)
		fmt.Printf("  %-44s %8.3f %-3s beside %8.3f (%s): %.2f of it\n", what, of(our), unit, v, s.detector, of(our)/v)
	}
	missed, v := best(func(s *score) float64 { return 1 - float64(s.cards)/float64(s.cardsOf) })
	fmt.Printf("  cards found %d of %d, false cards %d, false tags %d; beside %.0f %% (%s)\n", our.cards, our.cardsOf, our.falseCards, our.falseTags, 100*(1-v), missed.detector)
	line("corner RMS", "px", func(s *score) float64 { return math.Sqrt(mean(s.sq)) })
	line("50 mm on the card, mean error", "%", func(s *score) float64 { return mean(s.on) })
	line("50 mm on the card, p95", "%", func(s *score) float64 { return quantile(s.on, .95) })
	line("50 mm beside the card, p95", "%", func(s *score) float64 { return quantile(s.beside, .95) })
	for _, s := range refs {
		if s.detector == timed && len(our.ms12) > 0 {
			fmt.Printf("  CPU time of a 12-megapixel photograph, one thread %.0f ms beside %.0f (%s): %.2f of it\n", quantile(our.ms12, .5), quantile(s.ms12, .5), timed, quantile(our.ms12, .5)/quantile(s.ms12, .5))
		}
	}
}

// timed is the reference whose time is compared.
const timed = "AprilTag 3.3.0 decimate 2"
