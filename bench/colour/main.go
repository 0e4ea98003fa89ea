// Command colour measures the colour correction on rendered photographs, and
// compares the conversions of science/colour with a reference library.
//
//	go run ./bench/colour                 the bench: 300 photographs, 900 colours
//	go run ./bench/colour -tune           on other seeds and other things, for choosing settings
//	go run ./bench/colour -conversions    beside culori (npm install --prefix bench/colour)
package main

import (
	"flag"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"slices"

	"trug/science/colour"
	"trug/science/truecolour"
)

func main() {
	n := flag.Int("n", 300, "photographs")
	tune := flag.Bool("tune", false, "use the seeds and things that settings may be chosen on")
	conversions := flag.Bool("conversions", false, "compare conversions and speed with culori")
	verbose := flag.Bool("v", false, "print each colour")
	flag.Parse()
	if *conversions {
		if err := compareConversions(); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		return
	}
	seed, odd := uint64(6), 0
	if *tune {
		seed, odd = 1006, 1
	}
	bench(*n, seed, odd, *verbose)
}

// tally gathers errors of one way to the colour.
type tally struct {
	name       string
	errors     []float64
	photograph []int // of each error
	in         int   // true colours within the stated 95 % region
}

func (t *tally) String() string {
	e := slices.Sorted(slices.Values(t.errors))
	if len(e) == 0 {
		return fmt.Sprintf("%-34s none", t.name)
	}
	sum := 0.0
	for _, v := range e {
		sum += v
	}
	return fmt.Sprintf("%-34s n %4d  median %5.2f  mean %5.2f  p95 %5.2f  max %5.1f", t.name, len(e), e[len(e)/2], sum/float64(len(e)), e[len(e)*95/100], e[len(e)-1])
}

func bench(n int, seed uint64, odd int, verbose bool) {
	measured, best := &tally{name: "measured card"}, &tally{name: "oracle of the same model"}
	greys, none := &tally{name: "greys only"}, &tally{name: "no card (camera's white balance)"}
	models := map[truecolour.Model]int{}
	refused, advised, stopped := 0, 0, 0
	alarms := map[truecolour.Condition]int{}
	for i := range n {
		rnd := rand.New(rand.NewPCG(seed, uint64(i)))
		s := newScene(rnd, odd)
		img := s.photograph()
		samples := truecolour.SampleCard(img, &s.plane, s.layout)
		c, err := truecolour.Correct(samples, s.reference(rnd, true), s.layout)
		g, err2 := truecolour.Correct(samples, s.reference(rnd, false), s.layout)
		if err != nil || err2 != nil {
			refused++
			continue
		}
		models[c.Model]++
		for _, a := range c.Advise(samples, false) {
			alarms[a.Condition]++
			if a.Stops {
				stopped++
			}
		}
		o := newOracle(s, c.Model, odd)
		for _, t := range s.things {
			region := s.region(img, t)
			p, err := c.Mean(img, &s.plane, region)
			if err != nil || p.Clipped {
				advised++
				continue
			}
			q, err := g.Mean(img, &s.plane, region)
			if err != nil {
				panic(err)
			}
			stored := s.look(img, t)
			want := trueLab(t.reflectance)
			got := p.Lab
			measured.add(i, got, want, p.Spread)
			greys.add(i, q.Lab, want, q.Spread)
			best.add(i, o.lab(stored, t.at), want, colour.Spread{})
			none.add(i, colour.LinearRGB{R: stored[0], G: stored[1], B: stored[2]}.XYZ().Lab(colour.D65), want, colour.Spread{})
			if verbose {
				sp := p.Spread
				_, r := sp.Holds(got, want)
				fmt.Printf("%3d %-9s %-11s %-24s want %5.1f got %5.1f dE %5.2f oracle %5.2f tone %.3f r %.2f loo %.2f gt %.2f %v\n", i, s.layout.ID, s.lightName, t.name, want, got,
					colour.Difference(got, want), best.errors[len(best.errors)-1], c.ToneSD(), r, c.LeaveOneOut[c.Model], sp.GiveOrTake(got), c.Model)
			}
		}
	}
	fmt.Printf("%d photographs, %d refused, %d colours answered with advice (a channel clipped); models: %v\n", n, refused, advised, models)
	fmt.Printf("advice though the light is one and smooth: %v, of which %d would stop a number\n", alarms, stopped)
	for _, t := range []*tally{measured, best, greys, none} {
		fmt.Println(t)
	}
	if len(measured.errors) == 0 {
		return
	}
	for _, q := range []int{50, 95} {
		low, high := redrawn(measured, best, q)
		fmt.Printf("measured card / oracle at %d of 100: %.3f; with other photographs of the kind 95 times of 100 between %.2f and %.2f\n",
			q, at(measured.errors, q)/at(best.errors, q), low, high)
	}
	fmt.Printf("true colours within the 95 %% region: measured card %.1f %%, greys only %.1f %%\n",
		100*float64(measured.in)/float64(len(measured.errors)), 100*float64(greys.in)/float64(len(greys.errors)))
}

// at is the error that q of 100 stay below.
func at(errors []float64, q int) float64 {
	return slices.Sorted(slices.Values(errors))[len(errors)*q/100]
}

// redrawn is the range of the ratio at q of 100 when photographs are drawn anew
// from those there are (bootstrap: Efron & Tibshirani, An Introduction to the
// Bootstrap, 1993, chapter 13). Colours of one photograph stay together.
func redrawn(a, b *tally, q int) (low, high float64) {
	byPhotograph := map[int][]int{}
	for k, i := range a.photograph {
		byPhotograph[i] = append(byPhotograph[i], k)
	}
	all := slices.Sorted(maps.Keys(byPhotograph))
	rnd := rand.New(rand.NewPCG(95, 1993))
	ratios := make([]float64, 2000)
	for r := range ratios {
		var x, y []float64
		for range all {
			for _, k := range byPhotograph[all[rnd.IntN(len(all))]] {
				x, y = append(x, a.errors[k]), append(y, b.errors[k])
			}
		}
		ratios[r] = at(x, q) / at(y, q)
	}
	slices.Sort(ratios)
	return ratios[len(ratios)*25/1000], ratios[len(ratios)*975/1000]
}

func (t *tally) add(photograph int, got, want colour.Lab, s colour.Spread) {
	t.photograph = append(t.photograph, photograph)
	t.errors = append(t.errors, colour.Difference(got, want))
	if in, _ := s.Holds(got, want); in {
		t.in++
	}
}
