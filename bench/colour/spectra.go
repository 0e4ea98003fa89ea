package main

import (
	"embed"
	"encoding/csv"
	"fmt"
	"math"
	"strconv"

	"trug/science/colour"
)

//go:embed spectra/*.csv
var spectraFiles embed.FS

// bands is how many wavelengths a spectrum has: 400 to 700 nm, 10 apart.
const bands = 31

type spectrum [bands]float64

func wavelength(i int) float64 { return 400 + 10*float64(i) }

type named struct {
	name string
	spectrum
}

func readSpectra(name string) []named {
	f, err := spectraFiles.Open("spectra/" + name + ".csv")
	if err != nil {
		panic(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		panic(err)
	}
	var all []named
	for _, row := range rows[1:] {
		n := named{name: row[0]}
		if len(row) != bands+1 {
			panic(fmt.Sprintf("%s: %s has %d numbers", name, row[0], len(row)-1))
		}
		for i, s := range row[1:] {
			if n.spectrum[i], err = strconv.ParseFloat(s, 64); err != nil {
				panic(err)
			}
		}
		all = append(all, n)
	}
	return all
}

var (
	subjects = readSpectra("subjects")
	chips    = readSpectra("chips")
	lamps    = readSpectra("lights")
	observer = readSpectra("observer")
	daylight = readSpectra("daylight")
	sensors  = readSpectra("sensors") // three to a camera
)

// through is the response of three curves to a reflectance under a light.
func through(curves [3]spectrum, light, reflectance spectrum) (v [3]float64) {
	for i := range bands {
		s := light[i] * reflectance[i]
		for c := range v {
			v[c] += curves[c][i] * s
		}
	}
	return v
}

var perfect = func() (s spectrum) {
	for i := range s {
		s[i] = 1
	}
	return s
}()

func eye() [3]spectrum {
	return [3]spectrum{observer[0].spectrum, observer[1].spectrum, observer[2].spectrum}
}

// trueLab is a reflectance's colour under D65.
func trueLab(r spectrum) colour.Lab {
	d65 := lamps[1].spectrum
	white, v := through(eye(), d65, perfect), through(eye(), d65, r)
	return colour.XYZ{X: v[0] / white[0] * colour.D65.X, Y: v[1] / white[1], Z: v[2] / white[2] * colour.D65.Z}.Lab(colour.D65)
}

// ofTemperature is a black body below 4000 K and a CIE daylight above (CIE 15).
func ofTemperature(kelvin float64) spectrum {
	var s spectrum
	if kelvin < 4000 {
		for i := range s {
			nm := wavelength(i) * 1e-9
			s[i] = 1e-35 / (math.Pow(nm, 5) * math.Expm1(1.4388e-2/(nm*kelvin)))
		}
		return s
	}
	t := 1000 / kelvin
	x := -4.6070*t*t*t + 2.9678*t*t + 0.09911*t + 0.244063
	if kelvin > 7000 {
		x = -2.0064*t*t*t + 1.9018*t*t + 0.24748*t + 0.237040
	}
	y := -3*x*x + 2.870*x - 0.275
	m := 0.0241 + 0.2562*x - 0.7341*y
	m1, m2 := (-1.3515-1.7703*x+5.9114*y)/m, (0.0300-31.4424*x+30.0717*y)/m
	for i := range s {
		s[i] = daylight[0].spectrum[i] + m1*daylight[1].spectrum[i] + m2*daylight[2].spectrum[i]
	}
	return s
}
