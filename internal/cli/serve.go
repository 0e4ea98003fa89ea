package cli

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"trug"
	"trug/internal/app"
	"trug/internal/web"
)

// serving are the flags of commands that serve.
type serving struct {
	data, listen, address, today string
}

func (f *serving) add(c *cobra.Command, data, listen string) {
	c.Flags().StringVar(&f.data, "data", data, "folder of the season's data")
	c.Flags().StringVar(&f.listen, "listen", listen, "address and port to listen on")
	c.Flags().StringVar(&f.address, "public-address", "", "address under which outsiders reach the server, such as https://fungi.example.org")
	c.Flags().StringVar(&f.today, "today", "", "take this day for today, such as 2026-10-10")
}

func serveCommand(s *streams) *cobra.Command {
	var f serving
	c := &cobra.Command{
		Use:   "serve --data FOLDER",
		Short: "Serve a season from a folder; lead through creating one where there is none",
		Args:  cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			clock, err := clockOf(f.today)
			if err != nil {
				return err
			}
			return s.serve(c.Context(), f, clock, nil, s.greetSeason)
		},
	}
	f.add(c, "trug-data", "127.0.0.1:8080")
	return c
}

// clockOf returns a clock that shows the day with the machine's time of day;
// nil without a day.
func clockOf(day string) (func() time.Time, error) {
	if day == "" {
		return nil, nil
	}
	t, err := time.Parse(time.DateOnly, day)
	if err != nil {
		return nil, fmt.Errorf("--today %s is no day: write it as 2026-10-10", day)
	}
	now := time.Now()
	began := time.Date(t.Year(), t.Month(), t.Day(), now.Hour(), now.Minute(), now.Second(), 0, time.Local)
	return func() time.Time { return began.Add(time.Since(now)) }, nil
}

// serve opens the data folder and serves it until ctx ends. prepare may fill
// the store first; greet prints how to come in.
func (s *streams) serve(ctx context.Context, f serving, clock func() time.Time, prepare func(context.Context, *app.App) error, greet func(context.Context, *app.App, string) error) (err error) {
	log := slog.New(slog.NewTextHandler(s.err, nil))
	a, closeData, err := openData(ctx, f.data, opening{how: toServe, clock: clock, address: f.address, log: log})
	if err != nil {
		return err
	}
	// What still writes in the background is told to stop before the store closes.
	work, stop := context.WithCancel(ctx)
	defer func() { stop(); err = errors.Join(err, closeData()) }()
	listener, err := net.Listen("tcp", f.listen)
	if err != nil {
		return fmt.Errorf("nothing can listen on %s (%w): choose another with --listen", f.listen, err)
	}
	if prepare != nil {
		if err := prepare(work, a); err != nil {
			return errors.Join(err, listener.Close())
		}
	}
	server := web.Server(web.Handler(a, web.Options{Secure: strings.HasPrefix(f.address, "https://"), Log: log}), nil, log)
	address := f.address
	if address == "" {
		address = "http://" + reachable(listener.Addr().String())
	}
	if err := greet(ctx, a, strings.TrimRight(address, "/")); err != nil {
		return errors.Join(err, listener.Close())
	}
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(listener) }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	stop()
	grace, cancel := context.WithTimeout(context.WithoutCancel(ctx), 10*time.Second)
	defer cancel()
	return server.Shutdown(grace)
}

// reachable turns an address that means every network of the machine into one
// that a browser opens.
func reachable(address string) string {
	host, port, err := net.SplitHostPort(address)
	if err != nil {
		return address
	}
	if ip := net.ParseIP(host); host == "" || ip != nil && ip.IsUnspecified() {
		host = "localhost"
	}
	return net.JoinHostPort(host, port)
}

// greetSeason prints how to come in: the set-up link of an empty store, or
// the coordinators' entry links.
func (s *streams) greetSeason(ctx context.Context, a *app.App, address string) error {
	seasons, err := a.Seasons(ctx)
	if err != nil {
		return err
	}
	if len(seasons) == 0 {
		fmt.Fprintf(s.out, "There is no season in this folder yet. Set one up at\n  %s/enter/setup-%s\n", address, a.SetupToken())
		return nil
	}
	for _, season := range seasons {
		fmt.Fprintf(s.out, "%s\n  the public page: %s/\n", season.Title, address)
		people, err := a.Everybody(ctx, season.ID, trug.Coordinator)
		if err != nil {
			return err
		}
		for _, p := range people {
			fmt.Fprintf(s.out, "  as coordinator (%s): %s/enter/%s\n", p.Name, address, a.EntryToken(p.ID))
		}
	}
	fmt.Fprintln(s.out, "  everybody else's link stands on the Season desk. Keep these links to yourself. Ctrl-C ends the server.")
	return nil
}
