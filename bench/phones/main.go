// Command phones has simulated phones send their finds to a server, and counts
// at the end what is there.
//
//	go build -tags nodynamic -o /tmp/trug ./cmd/trug
//	go run ./bench/phones -trug /tmp/trug -data /tmp/phones -phones 500x2x4x1MB -phones 20x20x4x3MB
//	go run ./bench/phones -trug /tmp/trug -data /tmp/phones -phones 60x4x4x100kB -fail 0.2 -cut 20s -slow 0.25 -kill 200
//
// A phone speaks the protocol of the web app and nothing else: it takes the
// field code, takes along what it needs (GET /api/field), sends photographs in
// pieces by tus and records as messages, goes on where it was cut off, and
// throws a photograph away only when the server has told its hash among what it
// keeps. Between phones and server stands a proxy that can fail requests, cut
// connections and slow them down; the server can be killed while they send.
// At the end the server is started once more, and every record and every
// original read back through the API and compared by hash with what was sent.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/signal"
	"strings"
	"time"
)

// plan is what is simulated.
type plan struct {
	program, data string
	groups        groups
	piece         int
	within        time.Duration
	kills         int
	every         time.Duration
	faults
	seed  uint64
	procs int
}

func main() {
	var p plan
	flag.StringVar(&p.program, "trug", "", "the program trug, built with -tags nodynamic")
	flag.StringVar(&p.data, "data", "", "folder for the server's data; it must not exist yet")
	flag.Var(&p.groups, "phones", "PHONESxFINDSxVIEWSxBYTES, such as 500x2x4x1MB; may be given several times; with @PIXELS at its end photographs have about so many pixels, such as 20x2x4x3MB@12000000")
	flag.IntVar(&p.piece, "piece", 256<<10, "bytes of a piece of a photograph")
	flag.DurationVar(&p.within, "within", time.Hour, "give up after this time")
	flag.IntVar(&p.kills, "kill", 0, "how often the server is killed while phones send")
	flag.DurationVar(&p.every, "every", 3*time.Second, "how long the server runs on the average until it is killed; each time drawn at random")
	flag.Float64Var(&p.fail, "fail", 0, "part of the requests that fail: before the server, half way, or on the way back, at random")
	flag.DurationVar(&p.cut, "cut", 0, "after how long on the average a connection is cut, drawn at random; 0: never")
	flag.Float64Var(&p.slow, "slow", 0, "part of the connections that get 50 kbit/s each way")
	flag.Uint64Var(&p.seed, "seed", 1, "seed of what is drawn at random")
	flag.IntVar(&p.procs, "cores", 2, "cores that the server may use (GOMAXPROCS)")
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, p); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// groups are phones of several sorts.
type groups []group

// group is a number of like phones.
type group struct {
	phones, finds, views, bytes, pixels int
}

func (g *groups) String() string { return fmt.Sprint(*g) }

// Set reads a group as "500x2x4x1MB".
func (g *groups) Set(text string) error {
	x := group{}
	size, pixels, ok := strings.Cut(text, "@")
	if ok {
		if _, err := fmt.Sscanf(pixels, "%d", &x.pixels); err != nil {
			return fmt.Errorf("%q is no number of pixels", pixels)
		}
	}
	unit := ""
	if _, err := fmt.Sscanf(size, "%dx%dx%dx%d%s", &x.phones, &x.finds, &x.views, &x.bytes, &unit); err != nil {
		return fmt.Errorf("write phones as 500x2x4x1MB: %w", err)
	}
	fold, ok := map[string]int{"kB": 1000, "MB": 1000 * 1000}[unit]
	if !ok || x.phones < 1 || x.finds < 1 || x.views < 1 || x.bytes < 1 {
		return errors.New("write phones as 500x2x4x1MB: all above 0, the size in kB or MB")
	}
	x.bytes *= fold
	*g = append(*g, x)
	return nil
}

func run(ctx context.Context, p plan) error {
	if p.program == "" || p.data == "" || len(p.groups) == 0 {
		return errors.New("give -trug, -data and at least one -phones")
	}
	if _, err := os.Stat(p.data); err == nil {
		return fmt.Errorf("%s is there already: name a folder that is not", p.data)
	}
	ctx, stop := context.WithTimeout(ctx, p.within)
	defer stop()
	began := time.Now()
	s := &server{plan: p}
	_ = os.Remove(s.logName()) // of a run before
	if err := s.start(ctx); err != nil {
		return err
	}
	defer s.end()
	season, err := setUp(ctx, s)
	if err != nil {
		return fmt.Errorf("set the season up: %w", err)
	}
	way, err := newProxy(s.address, p.faults, p.seed)
	if err != nil {
		return err
	}
	defer way.close()
	all := newPhones(p, way.address, season.code)
	fmt.Printf("%d phones with %d finds and %d photographs, %.1f GB; ready after %s\n", len(all), finds(all), views(all), float64(size(all))/1e9, time.Since(began).Round(time.Second))
	sending := time.Now()
	if err := send(ctx, s, all); err != nil {
		return err
	}
	took := time.Since(sending)
	way.clear()
	if err := s.restart(ctx); err != nil {
		return err
	}
	c, err := count(ctx, s.address, season.coordinator, all)
	if err != nil {
		return fmt.Errorf("count: %w", err)
	}
	tell(p, s, way, all, took, c)
	if c.bad() {
		return errors.New("not everything is there once")
	}
	return nil
}

// tell prints what happened.
func tell(p plan, s *server, way *proxy, all []*phone, took time.Duration, c counted) {
	t := total(all)
	fmt.Printf("sent in %s: %.1f MB/s, %d requests (%d failed, %d pieces repeated), %d messages of which %d came again\n", took.Round(time.Second),
		float64(size(all))/1e6/took.Seconds(), t.requests, t.failed, t.again, t.messages, t.repeated)
	fmt.Printf("the proxy failed %d requests, cut %d connections, slowed %d; the server was killed %d times\n", way.failed.Load(), way.cuts.Load(), way.slowed.Load(), s.killed)
	fmt.Printf("the server's memory at most: %.0f MB resident (VmHWM), on %d cores; its time on the processor: %s\n", float64(s.peak)/1e6, p.procs, (s.spent + s.spends).Round(time.Second))
	fmt.Printf("answers: messages median %s, slowest %s\n", t.median().Round(time.Millisecond), t.slowest().Round(time.Millisecond))
	fmt.Printf("records: %d of %d there, %d lost, %d doubled, %d changed\n", c.records, finds(all), c.lostRecords, c.doubledRecords, c.changedRecords)
	fmt.Printf("photographs by hash: %d of %d there, %d lost, %d doubled\n", c.photographs, views(all), c.lostPhotographs, c.doubledPhotographs)
	fmt.Printf("people: %d for %d phones\n", c.people, c.phones)
}
