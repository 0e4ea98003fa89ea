package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"image"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"trug/science/card"
	"trug/science/measure"
	"trug/science/photo"
)

// asked is what is to be measured in each photograph.
type asked struct {
	between  [][2]card.Pixel
	outlines [][]card.Pixel // a tap each, or the points of a stroke
	outside  []card.Pixel
	snap     bool
	above    *measure.Range
	control  float64
	standing bool
	colour   colourAsked
}

func measureCommand(s *streams) *cobra.Command {
	var between, outlines, outside, taps []string
	var below string
	var a asked
	c := &cobra.Command{
		Use:   "measure PHOTO...",
		Short: "Measure in photographs that show a field card",
		Long: `Finds the field card in each photograph and measures with it, each length with
its uncertainty. A folder stands for the photographs in it.

  --between 812,455 1290,470   the length from one point to another, in pixels of
                               the upright photograph, pixel centres at integers
  --snap                       move both ends to the clearest edge within 2 mm
  --outline 1010,480           the fruitbody tapped there: greatest width, width
                               across it and area. Where one tap is not enough, a
                               stroke inside it: --outline "990,470 1010,480 1060,485"
  --outside 1100,520           a point that does not belong to it
  --card-below 10..30          the card lies 10 to 30 mm below what is measured;
                               negative: above it. Without it, in one plane
  --control-line 94.5          what the line of 100 mm on the printed sheet truly
                               measures; without it our own cards are taken to
                               have been printed at 92 to 101 %
  --standing                   what is measured stands up over the card
  --colour 1010,480,20         the colour within 20 pixels of a point (12 when no
                               radius is given), corrected by the card
  --palette                    the main colours of each --outline and --colour,
                               with their shares and where they sit
  --card-colours FILE.csv      what an instrument measured of this printing's
                               patches (patch, L*, a*, b*, illuminant, observer);
                               without it only the greys correct the colours

With --json one object a line, as docs/formats.md describes it.

EXIT STATUS
  3 when some photographs could not be read or show no card.`,
		Args: cobra.MinimumNArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			files, points, err := photographs(args)
			if err != nil {
				return err
			}
			if err := a.read(between, outlines, outside, points, below); err != nil {
				return err
			}
			if err := a.colour.read(taps, len(a.outlines)); err != nil {
				return err
			}
			return s.measure(c.Context(), files, a)
		},
	}
	c.Flags().StringArrayVar(&between, "between", nil, "measure from x,y to the x,y that follows")
	c.Flags().StringArrayVar(&outlines, "outline", nil, "measure the fruitbody at x,y, or along a stroke")
	c.Flags().StringArrayVar(&outside, "outside", nil, "x,y that lies outside the fruitbodies")
	c.Flags().BoolVar(&a.snap, "snap", false, "move the ends of lengths to the nearest clear edge")
	c.Flags().StringVar(&below, "card-below", "", "how far the card lies below what is measured, MM..MM")
	c.Flags().Float64Var(&a.control, "control-line", 0, "true length of the printed control line of 100 mm")
	c.Flags().BoolVar(&a.standing, "standing", false, "what is measured stands up over the card")
	c.Flags().StringArrayVar(&taps, "colour", nil, "the colour at x,y or within x,y,radius")
	c.Flags().BoolVar(&a.colour.palette, "palette", false, "the main colours of each outline and place")
	c.Flags().StringVar(&a.colour.printed, "card-colours", "", "CSV of the printing's measured colours")
	return c
}

var isPoint = regexp.MustCompile(`^-?[0-9]+(\.[0-9]+)?,-?[0-9]+(\.[0-9]+)?$`)

// photographs takes files, folders and points apart.
func photographs(args []string) (files, points []string, err error) {
	for _, a := range args {
		info, err := os.Stat(a)
		switch {
		case err != nil && isPoint.MatchString(a):
			points = append(points, a)
		case err != nil:
			files = append(files, a) // told of in its turn
		case info.IsDir():
			inside, err := os.ReadDir(a)
			if err != nil {
				return nil, nil, err
			}
			for _, f := range inside {
				ext := strings.ToLower(filepath.Ext(f.Name()))
				if f.Type().IsRegular() && slices.Contains([]string{".jpg", ".jpeg", ".heic", ".heif", ".png", ".webp"}, ext) {
					files = append(files, filepath.Join(a, f.Name()))
				}
			}
		default:
			files = append(files, a)
		}
	}
	if len(files) == 0 {
		return nil, nil, errors.New("no photograph was named: give files, or a folder that holds some")
	}
	return files, points, nil
}

func pixel(text string) (p card.Pixel, err error) {
	if !isPoint.MatchString(text) {
		return p, fmt.Errorf("%q is no point: write it as x,y in pixels, such as 812,455", text)
	}
	x, y, _ := strings.Cut(text, ",")
	if p.X, err = strconv.ParseFloat(x, 64); err == nil {
		p.Y, err = strconv.ParseFloat(y, 64)
	}
	return p, err
}

// read turns the words of the command line into what is asked.
func (a *asked) read(between, outlines, outside, points []string, below string) error {
	var all []string
	for i, b := range between {
		pair := strings.Fields(b)
		if len(pair) == 1 && len(points) > 0 {
			pair, points = append(pair, points[0]), points[1:]
		}
		if len(pair) != 2 {
			return fmt.Errorf("length %d needs two points: --between x,y x,y", i+1)
		}
		all = append(all, pair...)
	}
	if len(points) > 0 {
		return fmt.Errorf("the point %s belongs to no length: write --between x,y x,y", points[0])
	}
	for i := 0; i < len(all); i += 2 {
		p, err := pixel(all[i])
		if err != nil {
			return err
		}
		q, err := pixel(all[i+1])
		if err != nil {
			return err
		}
		a.between = append(a.between, [2]card.Pixel{p, q})
	}
	if err := a.readOutlines(outlines, outside); err != nil {
		return err
	}
	if below != "" {
		from, to, ok := strings.Cut(below, "..")
		if !ok {
			to = from
		}
		lo, err := strconv.ParseFloat(strings.TrimSpace(from), 64)
		hi, err2 := strconv.ParseFloat(strings.TrimSpace(to), 64)
		if err != nil || err2 != nil || lo > hi || lo < -2000 || hi > 2000 {
			return fmt.Errorf("%q is no span of heights: write --card-below 10..30 in millimetres, the smaller number first", below)
		}
		a.above = &measure.Range{From: measure.Millimetres(lo), To: measure.Millimetres(hi)}
	}
	if a.control != 0 {
		if _, err := measure.ControlLine(measure.Millimetres(a.control)); err != nil {
			return err
		}
	}
	return nil
}

// readOutlines takes taps, strokes and points outside.
func (a *asked) readOutlines(outlines, outside []string) error {
	for _, o := range outlines {
		var stroke []card.Pixel
		for _, text := range strings.Fields(o) {
			p, err := pixel(text)
			if err != nil {
				return err
			}
			stroke = append(stroke, p)
		}
		if len(stroke) == 0 {
			return errors.New("--outline needs a point: write it as x,y in pixels, such as 812,455")
		}
		a.outlines = append(a.outlines, stroke)
	}
	for _, text := range outside {
		p, err := pixel(text)
		if err != nil {
			return err
		}
		a.outside = append(a.outside, p)
	}
	return nil
}

// measure measures in each photograph and prints as it goes.
func (s *streams) measure(ctx context.Context, files []string, a asked) error {
	var finder card.Finder
	var all []measured
	failed := 0
	tell := s.progress()
	e := json.NewEncoder(s.out)
	for i, f := range files {
		if err := ctx.Err(); err != nil {
			return err
		}
		m := measureFile(ctx, &finder, f, a)
		if m.failed {
			failed++
		}
		if s.json {
			if err := e.Encode(m); err != nil {
				return err
			}
		}
		all = append(all, m)
		if tell != nil {
			tell(i+1, len(files), "photographs")
		}
	}
	if !s.json {
		s.measurements(all)
	}
	if failed > 0 {
		err := fmt.Errorf("%d of %d photographs could not be measured in: each says why", failed, len(files))
		if failed == len(files) && len(files) == 1 {
			err = errors.New(strings.Join(all[0].Problems, " "))
		}
		return exit{exitPartly, err}
	}
	return nil
}

// measurements prints a table, and below it what is wrong.
func (s *streams) measurements(all []measured) {
	w := tabwriter.NewWriter(s.out, 0, 4, 2, ' ', 0)
	fmt.Fprintln(w, "photograph\tcard\ttags\tpx/mm\ttilt\tcamera\tmeasured")
	for _, m := range all {
		name := filepath.Base(m.File)
		if !m.Card.Found {
			fmt.Fprintf(w, "%s\tnone\n", name)
			continue
		}
		fmt.Fprintf(w, "%s\t%s\t%d\t%.2f\t%.0f°\t%.0f mm\t", name, m.Card.Layout, len(m.Card.Tags), m.Card.PxPerMM, m.Card.TiltDeg, m.Card.CameraHeightMM)
		for i, l := range m.Lengths {
			if i > 0 {
				fmt.Fprint(w, "; ")
			}
			fmt.Fprintf(w, "%s %s", l.Kind, l.Words)
		}
		fmt.Fprintln(w)
	}
	w.Flush()
	for _, m := range all {
		for _, c := range m.Colours {
			fmt.Fprintf(s.out, "%s: colour at %.0f,%.0f: %s\n", filepath.Base(m.File), c.At[0], c.At[1], c.Words)
		}
	}
	for _, m := range all {
		for _, p := range m.Problems {
			fmt.Fprintf(s.out, "%s: %s\n", filepath.Base(m.File), p)
		}
	}
	for _, m := range all {
		if m.Sharpness != nil {
			fmt.Fprintf(s.out, "%s: by the sharpness of the %s, %s.\n", filepath.Base(m.File), m.Sharpness.Of, m.Sharpness.Words)
		}
	}
	var widths []measure.Millimetres
	for _, m := range all {
		for _, l := range m.Lengths {
			if l.Kind == kindWidth {
				widths = append(widths, measure.Millimetres(l.MM))
			}
		}
	}
	if len(widths) > 1 {
		fmt.Fprintf(s.out, "Widths: %s\n", measure.Spread(widths))
	}
}

// open decodes a photograph upright.
func open(ctx context.Context, path string) (*image.RGBA, photo.Facts, []byte, error) {
	raw, err := os.ReadFile(path)
	if err != nil {
		return nil, photo.Facts{}, nil, err
	}
	facts, err := photo.Read(ctx, raw, photo.Limits{})
	if err != nil {
		return nil, facts, raw, err
	}
	img, err := photo.Upright(ctx, raw, photo.Limits{})
	return img, facts, raw, err
}
