// Command cards compares Trug's finding of the field card with AprilTag 3 and
// OpenCV's aruco, on photographs of which everything is known.
//
//	go run ./bench/cards render -n 300 -out DIR   draw the photographs
//	go run ./bench/cards compare DIR              run all detectors on them, one thread each
//	go run ./bench/cards sizes DIR                measure each fruitbody from one tap at random in it
//	go run ./bench/cards ticks -n 60 DIR          what the ruler's ticks could add to the tags, at most
//
// compare looks at three sets in one run: the real photographs in
// science/card/testdata, the rendered ones given (five of them are there; -given
// names the folder with all twelve and their tables) and the bench's in DIR; each
// photograph by ours and by each reference in turn, under the same load. -fast
// leaves out the two slowest references, -alone all of them. -keep goes on where
// it left off, which serves while photographs are still being drawn; "compare
// -keep" and "sizes -keep" keep what came of each photograph in its folder.
//
// The photographs are not kept in the repository. Seeds begin at 500001; the
// distributions are those of render.Draw, fixed before the detector was tuned.
// The references are Debian's python3-apriltag 3.3.0 and python3-opencv 4.6.0,
// run by reference.py from the repository's root.
package main

import (
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"

	"trug/bench/render"
)

// firstSeed is where the bench's seeds begin; no other test draws from here.
const firstSeed = 500001

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "cards:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	if len(args) == 0 {
		return fmt.Errorf("say what to do: render, compare, sizes or ticks")
	}
	set := flag.NewFlagSet(args[0], flag.ContinueOnError)
	n := set.Int("n", 300, "how many photographs")
	skip := set.Int("skip", 0, "how many seeds to leave out first")
	out := set.String("out", "", "folder to draw into")
	verbose := set.Bool("v", false, "say what ours did with each photograph")
	keep := set.Bool("keep", false, "keep what came of each photograph beside it, and take it from there the next time")
	given := set.String("given", "science/card/testdata/rendered", "folder with the rendered photographs given")
	alone := set.Bool("alone", false, "leave out all references")
	fast := set.Bool("fast", false, "leave out the references that look at every pixel of large photographs")
	if err := set.Parse(args[1:]); err != nil {
		return err
	}
	switch args[0] {
	case "render":
		return renderAll(*out, *skip, *n)
	case "compare":
		return compare(set.Arg(0), *given, &look{verbose: *verbose, fast: *fast, alone: *alone, keep: *keep})
	case "sizes":
		return sizes(set.Arg(0), *verbose, *keep)
	case "ticks":
		return ticks(set.Arg(0), *n)
	}
	return fmt.Errorf("%q is not known: render, compare, sizes or ticks", args[0])
}

// renderAll renders n photographs with their truth beside them; those that are
// there already stay.
func renderAll(dir string, skip, n int) error {
	if dir == "" {
		return fmt.Errorf("say with -out where to draw")
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	for i := skip; i < skip+n; i++ {
		name := filepath.Join(dir, fmt.Sprintf("bench_%04d", i))
		if _, err := os.Stat(name + ".json"); err == nil {
			continue
		}
		jpg, truth, err := render.Photograph(render.Draw(firstSeed + uint64(i)))
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
