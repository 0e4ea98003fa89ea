package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"runtime"
	"time"

	"trug/science/colour"
)

// compareConversions runs culori on random colours and prints the largest
// differences and the times beside ours.
func compareConversions() error {
	rnd := rand.New(rand.NewPCG(11, 12))
	colours := make([][3]float64, 20000)
	for i := range colours {
		for c := range 3 {
			colours[i][c] = float64(rnd.IntN(256)) / 255
		}
	}
	in, err := json.Marshal(colours)
	if err != nil {
		return err
	}
	cmd := exec.Command("node", "culori.mjs")
	cmd.Dir, cmd.Stdin, cmd.Stderr = "bench/colour", bytes.NewReader(in), os.Stderr
	out, err := cmd.Output()
	if err != nil {
		return fmt.Errorf("culori.mjs: %w (first: npm install --prefix bench/colour; run this at the repository's root)", err)
	}
	var theirs struct {
		Answers     map[string][][]float64
		Nanoseconds map[string]float64
	}
	if err := json.Unmarshal(out, &theirs); err != nil {
		return err
	}
	fmt.Printf("%-10s %22s %10s %10s %8s\n", "", "largest difference", "ours, ns", "culori, ns", "ratio")
	for _, c := range ours(colours) {
		worst := 0.0
		for i, want := range theirs.Answers[c.name] {
			got := c.convert(i)
			for k := range want {
				worst = math.Max(worst, math.Abs(got[k]-want[k]))
			}
		}
		var sink [3]float64
		start := time.Now()
		for range 5 {
			for i := range colours {
				sink = c.convert(i)
			}
		}
		runtime.KeepAlive(sink)
		ns := float64(time.Since(start).Nanoseconds()) / float64(5*len(colours))
		fmt.Printf("%-10s %22.2g %10.0f %10.0f %8.2f\n", c.name, worst, ns, theirs.Nanoseconds[c.name], ns/theirs.Nanoseconds[c.name])
	}
	return nil
}

type conversion struct {
	name    string
	convert func(i int) [3]float64
}

func ours(colours [][3]float64) []conversion {
	linear := func(i int) colour.LinearRGB {
		c := colours[i]
		return colour.LinearRGB{R: colour.Decode(c[0]), G: colour.Decode(c[1]), B: colour.Decode(c[2])}
	}
	xyz := func(c colour.XYZ) [3]float64 { return [3]float64{c.X, c.Y, c.Z} }
	lab := func(c colour.Lab) [3]float64 { return [3]float64{c.L, c.A, c.B} }
	toD50 := colour.Bradford(colour.D65, colour.D50)
	d50 := func(i int) colour.XYZ {
		v := toD50.Apply(xyz(linear(i).XYZ()))
		return colour.XYZ{X: v[0], Y: v[1], Z: v[2]}
	}
	labs := make([]colour.Lab, len(colours))
	for i := range labs {
		labs[i] = linear(i).XYZ().Lab(colour.D65)
	}
	return []conversion{
		{"linear", func(i int) [3]float64 { c := linear(i); return [3]float64{c.R, c.G, c.B} }},
		{"xyz65", func(i int) [3]float64 { return xyz(linear(i).XYZ()) }},
		{"xyz50", func(i int) [3]float64 { return xyz(d50(i)) }},
		{"lab65", func(i int) [3]float64 { return lab(linear(i).XYZ().Lab(colour.D65)) }},
		{"lab50", func(i int) [3]float64 { return lab(d50(i).Lab(colour.D50)) }},
		{"p3", func(i int) [3]float64 {
			r, g, b := linear(i).XYZ().DisplayP3()
			return [3]float64{colour.Encode(r), colour.Encode(g), colour.Encode(b)}
		}},
		{"ciede2000", func(i int) [3]float64 { return [3]float64{colour.Difference(labs[i], labs[(i+1)%len(labs)])} }},
	}
}
