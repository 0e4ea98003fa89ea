package main

import (
	"fmt"

	"trug/science/key"
	"trug/science/matrix"
)

// chooseSettings cross-validates on specimens simulated here: kinship by how
// well strangers are told when a fifth of the species is taken out in turn,
// sharpness by the calibration of the first name's probability with the rates
// estimated.
func chooseSettings(m *matrix.Matrix, n int, seed uint64) error {
	sets := simulateAll(m, n, seed)
	for _, kin := range []float64{0, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9} {
		for _, set := range sets {
			s := key.Uniform(0.05)
			s.Kinship = kin
			auc := 0.0
			for fold := range 5 {
				a, _, err := strangersAUC(m, set, s, fifth(len(m.Taxa), fold), false)
				if err != nil {
					return err
				}
				auc += a / 5
			}
			fmt.Printf("kinship %.1f, %s: AUROC %.4f\n", kin, set.name, auc)
		}
	}
	return chooseSharpness(m, sets)
}

// chooseSharpness prints the calibration error by sharpness.
func chooseSharpness(m *matrix.Matrix, sets []set) error {
	powers := []float64{1, 1.05, 1.1, 1.15, 1.2, 1.3}
	mean := make([]float64, len(powers))
	for _, set := range sets {
		for _, six := range []bool{false, true} {
			s, err := estimate(m, set, six)
			if err != nil {
				return err
			}
			fmt.Printf("%s, six %v:", set.name, six)
			for i, power := range powers {
				s.Sharpness = power
				var sc score
				if err := scored(m, set, six, s, &sc); err != nil {
					return err
				}
				e := sc.calibration()
				mean[i] += e / float64(2*len(sets))
				fmt.Printf("  sharpness %.2f: %.4f", power, e)
			}
			fmt.Println()
		}
	}
	for i, power := range powers {
		fmt.Printf("sharpness %.2f: mean calibration error %.4f\n", power, mean[i])
	}
	return nil
}
