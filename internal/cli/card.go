package cli

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"trug"
	"trug/internal/app"
	"trug/internal/paper"
	"trug/science/card"
)

// cardAsked is what trug card is asked for.
type cardAsked struct {
	kind, size, out, title, address, code, day, data, remark, season string
	batch                                                            int
	one                                                              bool
}

func cardCommand(s *streams) *cobra.Command {
	var a cardAsked
	c := &cobra.Command{
		Use:   "card [SEASON] --out FILE.pdf [--data FOLDER]",
		Short: "Make a sheet of field cards to print",
		Long: `Writes a PDF of field cards whose millimetres are true when it is printed at
100 %: four tags, rulers, greys, colours, a square code for joining the season,
and below them a control line of 100 mm.

Each printing should have a batch of its own: the tags tell it, so that a
photograph says which card it shows. With --data the printing is kept in the
season: it gets the season's next number, title and field code. Without, nothing
is kept, and --batch says the number.

Home printers shrink pages to fit. Until the control line is measured on the
printed sheet, cards count as printed at 92 to 101 %, and every size read off
them says so. Type it in with trug card control-line, on the desk under Cards,
or give it to trug measure.`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			a.season = strings.Join(args, "")
			if a.data == "" {
				return s.looseCards(a)
			}
			for _, flag := range []string{"batch", "season", "code", "date"} {
				if c.Flags().Changed(flag) {
					return fmt.Errorf("with --data the season says what --%s would: leave it out", flag)
				}
			}
			return s.keptCards(c.Context(), a)
		},
	}
	f := c.Flags()
	f.StringVar(&a.kind, "kind", "pocket", "kind of card: "+paper.CardKinds())
	f.StringVar(&a.size, "sheet", "A4", "A4 or Letter")
	f.StringVar(&a.out, "out", "", "file to write")
	f.StringVar(&a.data, "data", "", "folder of the season's data, to keep the printing there")
	f.StringVar(&a.remark, "remark", "", "which printing it is, kept with it: \"village hall\"")
	f.StringVar(&a.title, "season", "Field cards", "the season's title, printed on each card")
	f.StringVar(&a.address, "address", "", "address that the square code holds, for joining the season")
	f.StringVar(&a.code, "code", "", "field code, printed in words")
	f.StringVar(&a.day, "date", "", "date in the footer, such as 2026-10-10; today if not given")
	f.IntVar(&a.batch, "batch", 0, "number of the batch: one for each printing")
	f.BoolVar(&a.one, "one", false, "one card on the sheet instead of as many as it holds")
	_ = c.MarkFlagRequired("out")
	c.AddCommand(controlLineCommand(s))
	return c
}

// looseCards writes cards of which nothing is kept.
func (s *streams) looseCards(a cardAsked) error {
	l, err := card.LayoutByID(a.kind)
	if err != nil {
		return err
	}
	if a.season != "" || a.remark != "" {
		return errors.New("a season and a remark are kept with the printing: name the season's folder with --data")
	}
	x := paper.CardsData{Sheet: paper.Sheet{Season: a.title, Date: trug.Date(a.day)}, Layout: l, Batch: a.batch, Several: !a.one, URL: a.address, Code: a.code}
	if a.day == "" {
		x.Date = trug.Date(time.Now().Format(time.DateOnly))
	}
	switch a.size {
	case "A4":
	case "Letter":
		x.Size = paper.Letter
	default:
		return fmt.Errorf("there is no sheet %q: choose A4 or Letter", a.size)
	}
	pdf, err := paper.Cards(x)
	if err != nil {
		return err
	}
	return s.tellCards(a, l, a.batch, pdf, false)
}

// keptCards writes cards as a printing of a season.
func (s *streams) keptCards(ctx context.Context, asked cardAsked) error {
	a, closeData, err := openData(ctx, asked.data, opening{how: toWork})
	if err != nil {
		return err
	}
	defer closeData()
	season, err := a.SeasonByCode(ctx, asked.season)
	if err != nil {
		return err
	}
	id, err := trug.NewID(time.Now(), rand.Reader)
	if err != nil {
		return err
	}
	pdf, b, err := a.MakeCards(ctx, app.Desk(season.ID), app.GivenCards{ID: id, Layout: asked.kind, Paper: asked.size, Several: !asked.one, Remark: asked.remark, Address: asked.address})
	if err != nil {
		return err
	}
	l, err := card.LayoutByID(b.Layout)
	if err != nil {
		return err
	}
	return s.tellCards(asked, l, b.Number, pdf, true)
}

func (s *streams) tellCards(a cardAsked, l *card.Layout, batch int, pdf []byte, kept bool) error {
	if err := writeNew(a.out, pdf); err != nil {
		return err
	}
	ids, err := l.Ids(batch)
	if err != nil {
		return err
	}
	told := map[string]any{"file": a.out, "layout": l.ID, "batch": batch, "tags": ids, "sheet": a.size, "kept": kept}
	return s.show(told, func() {
		fmt.Fprintf(s.out, "%s: %s, batch %d. Print it at 100 %%, then measure the control line.\n", a.out, l.Name, batch)
		if kept {
			fmt.Fprintf(s.out, "The printing is kept in the season. Type the line's true length in with:\n  trug card control-line %d MM --kind %s --data %s\n", batch, l.ID, a.data)
			return
		}
		fmt.Fprintln(s.out, "The printing is not kept in any season: sizes read off its cards count it as printed at 92 to 101 %, unless trug measure is given --control-line. Give --data FOLDER to keep it.")
	})
}

func controlLineCommand(s *streams) *cobra.Command {
	var data, kind, code string
	c := &cobra.Command{
		Use:   "control-line [BATCH MM]",
		Short: "Say how long the control line of a printing truly is, or list the printings",
		Long: `Keeps the true length of the control line below a printing's cards, in
millimetres, and reckons all sizes anew that were read off them; 0 takes it back.
Without arguments it lists the season's printings and how large each was printed.`,
		Args: cobra.MatchAll(cobra.MaximumNArgs(2), func(_ *cobra.Command, args []string) error {
			if len(args) == 1 {
				return errors.New("give the batch's number and the length in millimetres, such as: 3 97.5")
			}
			return nil
		}),
		RunE: func(c *cobra.Command, args []string) error {
			a, closeData, err := openData(c.Context(), data, opening{how: toWork})
			if err != nil {
				return err
			}
			defer closeData()
			season, err := a.SeasonByCode(c.Context(), code)
			if err != nil {
				return err
			}
			list, err := a.CardBatches(c.Context(), app.Desk(season.ID))
			if err != nil {
				return err
			}
			if len(args) == 2 {
				b, err := sayControlLine(c.Context(), a, season.ID, list, kind, args)
				if err != nil {
					return err
				}
				list = []app.ShownBatch{b}
			}
			return s.show(list, func() {
				for _, b := range list {
					fmt.Fprintf(s.out, "%s: %s\n", b.Name, b.Says)
				}
				if len(list) == 0 {
					fmt.Fprintln(s.out, "No printing of cards is kept in this season: make one with trug card --data, or on the desk under Cards.")
				}
			})
		},
	}
	c.Flags().StringVar(&data, "data", "", "folder of the season's data")
	c.Flags().StringVar(&kind, "kind", "pocket", "kind of card: "+paper.CardKinds())
	c.Flags().StringVar(&code, "season", "", "the season's code, where the folder holds several")
	_ = c.MarkFlagRequired("data")
	return c
}

// sayControlLine keeps a length for the printing of that kind and number.
func sayControlLine(ctx context.Context, a *app.App, season trug.ID, list []app.ShownBatch, kind string, args []string) (b app.ShownBatch, err error) {
	number, err := strconv.Atoi(args[0])
	if err != nil {
		return b, fmt.Errorf("%q is no number of a batch: give it as the sheet tells it, such as 3", args[0])
	}
	mm, err := strconv.ParseFloat(strings.Replace(args[1], ",", ".", 1), 64)
	if err != nil {
		return b, fmt.Errorf("%q is no length: give the control line in millimetres, such as 97.5", args[1])
	}
	for _, b := range list {
		if b.Layout == kind && b.Number == number {
			return a.MeasureBatch(ctx, app.Desk(season), b.ID, app.GivenControlLine{MM: mm})
		}
	}
	return b, trug.Errorf(trug.NotFound, "", "there is no printing %d of the %s card in this season: trug card control-line without arguments lists them", number, kind)
}
