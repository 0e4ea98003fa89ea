// Command key measures the identification key on simulated specimens: how
// often it is right, how many questions it asks, how true its probabilities
// are and how well it knows a stranger. It simulates its own specimens by the
// published model, and measures those of a folder beside them.
//
//	go run ./bench/key                    # simulated here, and bench/key/testdata
//	go run ./bench/key -dir FOLDER        # specimens_clean.csv and its neighbours there
//	go run ./bench/key -choose            # cross-validation of the settings
package main

import (
	"flag"
	"fmt"
	"os"

	"trug/science/key/starter"
)

func main() {
	dir := flag.String("dir", "bench/key/testdata", "folder of specimen files in the published layout; empty for none")
	n := flag.Int("n", 5000, "specimens to simulate")
	seed := flag.Uint64("seed", 7, "seed of the simulation")
	choose := flag.Bool("choose", false, "cross-validate the settings instead of measuring")
	flag.Parse()
	if err := run(*dir, *n, *seed, *choose); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run(dir string, n int, seed uint64, choose bool) error {
	m := starter.Published()
	if choose {
		return chooseSettings(m, n, seed)
	}
	fmt.Printf("simulated here, %d specimens, seed %d\n", n, seed)
	if err := measure(m, simulateAll(m, n, seed)); err != nil {
		return err
	}
	if dir == "" {
		return nil
	}
	sets, err := readSets(m, dir)
	if err != nil {
		return err
	}
	fmt.Printf("\nspecimens of %s\n", dir)
	return measure(m, sets)
}
