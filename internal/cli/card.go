package cli

import (
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"trug"
	"trug/internal/paper"
	"trug/science/card"
)

func cardCommand(s *streams) *cobra.Command {
	var kind, size, out, season, address, code, day string
	var batch int
	var one bool
	c := &cobra.Command{
		Use:   "card --out FILE.pdf",
		Short: "Make a sheet of field cards to print",
		Long: `Writes a PDF of field cards whose millimetres are true when it is printed at
100 %: four tags, rulers, greys, colours, a square code for joining the season,
and below them a control line of 100 mm. Measure that line on the printed sheet
and give trug measure what you find with --control-line: home printers shrink
pages to fit.

Each printing should have a batch of its own: the tags tell it, so that a
photograph says which card it shows.`,
		Args: cobra.NoArgs,
		RunE: func(_ *cobra.Command, _ []string) error {
			l, err := card.LayoutByID(kind)
			if err != nil {
				return err
			}
			x := paper.CardsData{Sheet: paper.Sheet{Season: season, Date: trug.Date(day)}, Layout: l, Batch: batch, Several: !one, URL: address, Code: code}
			if day == "" {
				x.Date = trug.Date(time.Now().Format(time.DateOnly))
			}
			switch size {
			case "A4":
			case "Letter":
				x.Size = paper.Letter
			default:
				return fmt.Errorf("there is no sheet %q: choose A4 or Letter", size)
			}
			pdf, err := paper.Cards(x)
			if err != nil {
				return err
			}
			if err := writeNew(out, pdf); err != nil {
				return err
			}
			ids, err := l.Ids(batch)
			if err != nil {
				return err
			}
			told := map[string]any{"file": out, "layout": l.ID, "batch": batch, "tags": ids, "sheet": size}
			return s.show(told, func() {
				fmt.Fprintf(s.out, "%s: %s, batch %d. Print it at 100 %%, then measure the control line.\n", out, l.Name, batch)
			})
		},
	}
	c.Flags().StringVar(&kind, "kind", "pocket", "kind of card: "+paper.CardKinds())
	c.Flags().StringVar(&size, "sheet", "A4", "A4 or Letter")
	c.Flags().StringVar(&out, "out", "", "file to write")
	c.Flags().StringVar(&season, "season", "Field cards", "the season's title, printed on each card")
	c.Flags().StringVar(&address, "address", "", "address that the square code holds, for joining the season")
	c.Flags().StringVar(&code, "code", "", "field code, printed in words")
	c.Flags().StringVar(&day, "date", "", "date in the footer, such as 2026-10-10; today if not given")
	c.Flags().IntVar(&batch, "batch", 0, "number of the batch: one for each printing")
	c.Flags().BoolVar(&one, "one", false, "one card on the sheet instead of as many as it holds")
	_ = c.MarkFlagRequired("out")
	return c
}
