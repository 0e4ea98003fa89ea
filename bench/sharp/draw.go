package main

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"

	"trug/bench/render"
	"trug/science/sharpness"
)

// settings are those of a photograph of one fruitbody, half of them beside a
// card. The blur of the fruitbody is spread evenly over its logarithm from a
// fifth of what its purpose allows to five times as much, so that one half is
// sharp enough; that of what lies behind it by itself over the same span.
func settings(seed uint64) render.Settings {
	s := render.Draw(seed)
	r := rand.New(rand.NewPCG(seed, 0x7368617270))
	between := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	// Few as the camera took them: those take long to draw.
	size := .35
	if k := r.Float64(); k < .025 {
		size = 1
	} else if k < .25 {
		size = .5
	}
	s.Width, s.Height = int(4000*size), int(3000*size)
	s.FocalPx = float64(s.Width) * between(24, 28) / 36
	s.Share = between(.15, .35)
	s.Subject = math.Exp(between(math.Log(.2), math.Log(.6)))
	s.TiltDeg = between(0, 35)
	s.NoCard, s.Decoy = r.Float64() < .5, ""
	s.Covered, s.K1, s.SagMM = -1, 0, 0
	s.Noise = between(1, 8) * math.Sqrt(size)
	s.OffX, s.OffY = between(.5, .8), between(.4, .7)
	s.Bodies = 0
	limit := sharpness.Most(s.Subject*float64(s.Width), purposeOf(seed))
	s.BodyBlur = max(limit*math.Exp(between(-1.6, 1.6)), .2)
	s.Blur = max(limit*math.Exp(between(-1.6, 1.6)), .2)
	s.MotionPx = 0
	if r.Float64() < .2 {
		s.MotionPx, s.MotionDeg = between(4, 24)*size, between(0, 180)
	}
	return s
}

// purposeOf is what a photograph is for: every other one is to show gills.
func purposeOf(seed uint64) sharpness.Purpose {
	return []sharpness.Purpose{sharpness.Form, sharpness.Detail}[seed%2]
}

// drawAll renders n photographs with their truth beside them; those that are there
// already stay.
func drawAll(dir string, first uint64, n int) error {
	if dir == "" {
		return fmt.Errorf("say with -out where to draw")
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	for i := range n {
		seed := first + uint64(i)
		name := filepath.Join(dir, fmt.Sprintf("sharp_%d", seed))
		if _, err := os.Stat(name + ".json"); err == nil {
			continue
		}
		jpg, truth, err := render.Photograph(settings(seed))
		if err != nil {
			return err
		}
		told, err := json.Marshal(truth)
		if err != nil {
			return err
		}
		if err := os.WriteFile(name+".jpg", jpg, 0o644); err != nil {
			return err
		}
		if err := os.WriteFile(name+".json", told, 0o644); err != nil {
			return err
		}
	}
	return nil
}
