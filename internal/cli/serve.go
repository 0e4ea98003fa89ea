package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
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
	reaching
	data, address, today string
	// links lets visitors become anybody by a link: in the demonstration.
	links bool
	// backups is how many days backups are kept; 0 where nobody says.
	backups int
	// roomEach is how many gigabytes of photographs a recorder may hand in.
	roomEach int
}

func (f *serving) add(c *cobra.Command, data, listen string) {
	c.Flags().StringVar(&f.data, "data", data, "folder of the season's data")
	f.reaching.add(c, listen)
	c.Flags().StringVar(&f.address, "public-address", "", "address under which outsiders reach the server, such as https://fungi.example.org")
	c.Flags().IntVar(&f.backups, "backups-kept", 0, "for how many days backups are kept, told to whoever takes their name out; 0: not known")
	c.Flags().IntVar(&f.roomEach, "room-each", app.RoomEach>>30, "gigabytes of photographs that a recorder may hand in; who leads, determines or coordinates may ten times as many")
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
	if f.roomEach < 1 || f.roomEach > 1_000_000 {
		return trug.Errorf(trug.Invalid, "--room-each", "%d GB is no room for a recorder's photographs: give 1 or more", f.roomEach)
	}
	log := slog.New(slog.NewTextHandler(s.err, nil))
	w, err := f.front(f.address, f.data, log)
	if err != nil {
		return err
	}
	if f.address == "" && len(f.ownNames) > 0 {
		f.address = w.address // a name that lasts
	}
	a, closeData, err := openData(ctx, f.data, opening{how: toServe, demo: f.links, clock: clock, address: f.address, log: log})
	if err != nil {
		return err
	}
	a.BackupDays, a.RoomEach = f.backups, int64(f.roomEach)<<30
	// What still writes in the background is told to stop before the store closes.
	work, stop := context.WithCancel(ctx)
	defer func() { stop(); err = errors.Join(err, closeData()) }()
	main, plain, err := f.open(w)
	if err != nil {
		return err
	}
	opened := []io.Closer{main}
	if plain != nil {
		opened = append(opened, plain)
	}
	if prepare != nil {
		if err := prepare(work, a); err != nil {
			return errors.Join(err, closeAll(opened...))
		}
	}
	fmt.Fprint(s.out, w.says)
	if err := greet(ctx, a, f.comeIn(w, main)); err != nil {
		return errors.Join(err, closeAll(opened...))
	}
	ahead := make(chan struct{})
	go func() {
		defer close(ahead)
		if err := a.FinishTakingOut(work); err != nil && work.Err() == nil {
			log.Warn("originals that were to be deleted are still there; the next start tries again", "error", err)
		}
		if err := a.ReadAhead(work); err != nil && work.Err() == nil {
			log.Warn("the seasons could not be read ahead", "error", err)
		}
	}()
	measuring := make(chan struct{})
	go func() {
		defer close(measuring)
		a.KeepMeasuring(work)
	}()
	developing := make(chan struct{})
	a.Later = app.MostUndeveloped
	go func() {
		defer close(developing)
		a.KeepDeveloping(work)
	}()
	served := w.run(ctx, main, plain, web.Handler(a, w.options), log)
	stop()
	<-ahead // they read from the store
	<-measuring
	<-developing
	return served
}

// comeIn is the address under which links are printed, without a slash at its end.
func (f serving) comeIn(w front, main net.Listener) string {
	switch {
	case f.address != "":
		return strings.TrimRight(f.address, "/")
	case w.address != "":
		return w.address
	case w.keys != nil:
		return "https://" + reachable(main.Addr().String())
	}
	return "http://" + reachable(main.Addr().String())
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
// where people sign in.
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
	}
	fmt.Fprintf(s.out, "  recorders take the field code at %[1]s/join, all others sign in at %[1]s/sign-in.\n  If nobody can sign in as coordinator: trug invite. Ctrl-C ends the server.\n", address)
	return nil
}
