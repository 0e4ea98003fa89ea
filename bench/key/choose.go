package main

import (
	"fmt"

	"trug/science/key"
	"trug/science/matrix"
)

// chooseSettings cross-validates on specimens simulated here: kinship by how
// well strangers are told when a fifth of the species is taken out in turn,
// the prior of "not in this key" by the calibration of the stated probability
// over specimens of which a fifth are strangers.
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
	return nil
}
