package cli

import (
	"context"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"trug"
	"trug/internal/app"
	"trug/internal/demo"
)

func demoCommand(s *streams) *cobra.Command {
	var f serving
	c := &cobra.Command{
		Use:   "demo",
		Short: "Serve the invented season, Vale of Wimbrel",
		Long: `Serves an invented season as it stands on a day in its middle, 10 October 2026;
--today 2026-11-25 shows it finished. Its photographs are drawn in the
background at the first start. What you change stays for the next start.`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return s.demo(c.Context(), f) },
	}
	f.add(c, "demo-data", "127.0.0.1:8026")
	return c
}

// demoBegins is the time of day at which the demonstration starts: the
// afternoon, when the day's foray is back.
const demoBegins = 17 * time.Hour

func (s *streams) demo(ctx context.Context, f serving) error {
	f.links = true
	day := demo.Today
	if f.today != "" {
		day = trug.Date(f.today)
		if !day.Valid() {
			return fmt.Errorf("--today %s is no day: write it as 2026-10-10", f.today)
		}
	}
	zone, err := time.LoadLocation(demo.Zone)
	if err != nil {
		return err
	}
	began, started := trug.When{Date: day, Time: "00:00"}.Instant(zone).Add(demoBegins), time.Now()
	clock := func() time.Time { return began.Add(time.Since(started)) }
	d := demo.Load(day)
	prepare := func(ctx context.Context, a *app.App) error {
		last, err := a.LastChange(ctx, d.Season.ID)
		if err != nil {
			return err
		}
		if last.After(began) && trug.DateOf(last.In(zone)) == day {
			began = last.Add(time.Minute) // a second start goes on where the first left off
		}
		if err := a.LoadDemonstration(ctx, d); err != nil {
			return err
		}
		return a.PaintDemonstration(ctx, d, 2)
	}
	greet := func(ctx context.Context, a *app.App, address string) error {
		fmt.Fprintf(s.out, "%s, as it stands on %s: %d of the season's %d records have been made.\n", d.Season.Title, day, len(d.Records), d.Whole)
		fmt.Fprintf(s.out, "Everything in it is invented. The public page: %s/\n\nCome in as\n", address)
		parts := map[string]string{"R02": "coordinator", "D1": "determiner ", "R08": "recorder   "}
		for _, p := range d.Guests {
			fmt.Fprintf(s.out, "  %s  %s/enter/%s  (%s)\n", parts[p.Code], address, a.EntryToken(p.ID), p.Name)
		}
		code, err := a.FieldCodeOf(ctx, d.Season.ID)
		if err != nil {
			return err
		}
		fmt.Fprintf(s.out, "  a new recorder  %s/join#%s  (field code %s)\n", address, code, code)
		fmt.Fprintln(s.out, "\nEach link makes the browser that person; open them in separate browsers or private windows.\nThe other people's links stand on the coordinator's Season desk. Ctrl-C ends the demonstration.")
		if done, total, _ := a.Drawing.Progress(); done < total {
			fmt.Fprintf(s.out, "%d photographs are being drawn in the background; the screen says how far it is.\n", total-done)
		}
		return nil
	}
	return s.serve(ctx, f, clock, prepare, greet)
}
