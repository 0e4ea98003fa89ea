package main

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"time"
)

// server is the program under test, started anew after each kill.
type server struct {
	plan
	address string
	killed  int
	peak    int64         // bytes
	spent   time.Duration // of processor by processes that have ended
	spends  time.Duration // by the one that runs

	mu      sync.Mutex
	process *exec.Cmd
	ended   chan struct{}
	said    *os.File
}

// start starts the program and waits until it answers.
func (s *server) start(ctx context.Context) error {
	if s.address == "" {
		l, err := net.Listen("tcp", "127.0.0.1:0")
		if err != nil {
			return err
		}
		s.address = l.Addr().String()
		_ = l.Close()
	}
	var err error
	if s.said, err = os.OpenFile(s.logName(), os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o600); err != nil {
		return err
	}
	c := exec.Command(s.program, "serve", "--data", s.data, "--listen", s.address, "--behind-proxy", "127.0.0.1")
	c.Env = append(os.Environ(), "GOMAXPROCS="+strconv.Itoa(s.procs))
	c.Stdout, c.Stderr = s.said, s.said
	if err := c.Start(); err != nil {
		return err
	}
	ended := make(chan struct{})
	go func() { _ = c.Wait(); close(ended) }()
	s.mu.Lock()
	s.process, s.ended = c, ended
	s.mu.Unlock()
	return s.answers(ctx, ended)
}

// logName is where what the program says is kept, beside its data.
func (s *server) logName() string { return filepath.Clean(s.data) + ".log" }

// answers waits until the server takes requests.
func (s *server) answers(ctx context.Context, ended chan struct{}) error {
	for {
		r, err := http.Get("http://" + s.address + "/api/setup")
		if err == nil {
			_ = r.Body.Close()
			return nil
		}
		select {
		case <-ended:
			return fmt.Errorf("the server ended by itself: see %s", s.logName())
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(20 * time.Millisecond):
		}
	}
}

// look keeps the most memory that the process has had.
func (s *server) look() {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.process == nil {
		return
	}
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", s.process.Process.Pid))
	if err != nil {
		return
	}
	if stat, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", s.process.Process.Pid)); err == nil {
		s.spends = spent(string(stat))
	}
	for line := range strings.Lines(string(status)) {
		if rest, ok := strings.CutPrefix(line, "VmHWM:"); ok {
			kB, _ := strconv.ParseInt(strings.Fields(rest)[0], 10, 64)
			s.peak = max(s.peak, kB*1024)
		}
	}
}

// spent reads the time on the processor, user and system, from a process's line
// in /proc (proc(5): fields 14 and 15, in hundredths of a second on Linux).
func spent(stat string) time.Duration {
	fields := strings.Fields(stat[strings.LastIndexByte(stat, ')')+1:])
	if len(fields) < 13 {
		return 0
	}
	user, _ := strconv.ParseInt(fields[11], 10, 64)
	system, _ := strconv.ParseInt(fields[12], 10, 64)
	return time.Duration(user+system) * 10 * time.Millisecond
}

// kill ends the process as the kernel does when memory is short, without a word.
func (s *server) kill() {
	s.look()
	s.mu.Lock()
	defer s.mu.Unlock()
	s.spent, s.spends = s.spent+s.spends, 0
	_ = s.process.Process.Signal(syscall.SIGKILL)
	<-s.ended
	_ = s.said.Close()
}

// end ends the process, if it runs.
func (s *server) end() { s.kill() }

// restart kills the server and starts it again.
func (s *server) restart(ctx context.Context) error {
	s.kill()
	return s.start(ctx)
}

// send lets all phones send, and kills the server meanwhile as often as planned.
func send(ctx context.Context, s *server, all []*phone) error {
	work, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	var phones sync.WaitGroup
	for _, p := range all {
		phones.Go(func() {
			if err := p.live(work); err != nil {
				stop(err)
			}
		})
	}
	done := make(chan struct{})
	go func() { phones.Wait(); close(done) }()
	r := rand.New(rand.NewPCG(s.seed, 13))
	every := time.NewTicker(500 * time.Millisecond)
	defer every.Stop()
	next := time.After(s.wait(r))
	said := time.Now()
	for {
		select {
		case <-done:
			if err := context.Cause(work); err != nil {
				return err
			}
			if s.killed < s.kills {
				fmt.Printf("all had arrived after %d of %d kills: have the phones send more, or kill more often\n", s.killed, s.kills)
			}
			return nil
		case <-every.C:
			s.look()
			if time.Since(said) > time.Minute {
				said = time.Now()
				t := total(all)
				fmt.Printf("  %d of %d records taken, %d kills, %.0f MB at most\n", t.taken, finds(all), s.killed, float64(s.peak)/1e6)
			}
		case <-next:
			if s.killed < s.kills {
				s.killed++
				if err := s.restart(ctx); err != nil {
					return errors.Join(errors.New("the server does not start again"), err)
				}
			}
			next = time.After(s.wait(r))
		}
	}
}

// wait draws how long the server runs until the next kill.
func (s *server) wait(r *rand.Rand) time.Duration {
	return time.Duration(r.ExpFloat64() * float64(s.every))
}
