package sqlite

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"
	"time"

	"trug"
	"trug/internal/store"
)

// writeForever names, in the environment, the database into which the test
// binary writes until it is killed.
const writeForever = "TRUG_TEST_WRITE_FOREVER"

func TestMain(m *testing.M) {
	if path := os.Getenv(writeForever); path != "" {
		fmt.Fprintln(os.Stderr, childWrites(context.Background(), path))
		os.Exit(1)
	}
	os.Exit(m.Run())
}

const killSeason trug.ID = "01999999-0000-7000-8000-0000000000a1"

func killID(n int) trug.ID { return trug.ID(fmt.Sprintf("01999999-1000-7000-8000-%012x", n)) }

// killRecord is the n-th record, long enough to spread over several pages of
// the file, so that half of it would show.
func killRecord(n int) trug.Record {
	return trug.Record{ID: killID(n), SeasonID: killSeason, Number: fmt.Sprintf("W26-%04d", n), Remarks: strings.Repeat(fmt.Sprintf("%d fungi ", n), 1500)}
}

// childWrites saves a record with a view, and counts in a person, one
// transaction after another, and prints the number of each that was saved.
func childWrites(ctx context.Context, path string) error {
	s, err := OpenExclusive(ctx, path)
	if err != nil {
		return err
	}
	by := store.Author{Person: killID(0), Device: "child"}
	for {
		var n int
		err := s.Write(ctx, func(w store.Writer) error {
			p, err := store.Get[trug.Person](ctx, w, killID(0))
			if err != nil {
				return err
			}
			n, _ = strconv.Atoi(p.Name)
			n++
			p.Name = strconv.Itoa(n)
			if err := store.Put(ctx, w, killRecord(n), by, time.Now()); err != nil {
				return err
			}
			v := trug.View{ID: killID(n), SeasonID: killSeason, RecordID: killID(n), PhotographID: killID(n)}
			if err := store.Put(ctx, w, v, by, time.Now()); err != nil {
				return err
			}
			return store.Put(ctx, w, p, by, time.Now())
		})
		if err != nil {
			return err
		}
		fmt.Println(n)
	}
}

// A process killed at any moment loses nothing that it was told is saved, and
// leaves nothing by half. (What a power cut does is up to synchronisation,
// which TestSettings looks after; killing a process does not show it.)
func TestKillWhileSaving(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "season.db")
	s := mustOpen(t, path)
	err := s.Write(t.Context(), func(w store.Writer) error {
		return store.Put(t.Context(), w, trug.Person{ID: killID(0), SeasonID: killSeason, Name: "0"}, store.Author{}, time.Now())
	})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	acknowledged := 0
	for range 6 {
		last := killOnce(t, path, 1+rand.IntN(40), time.Duration(rand.IntN(6000))*time.Microsecond)
		if last <= acknowledged {
			t.Fatalf("the child saved nothing: %d after %d", last, acknowledged)
		}
		acknowledged = last
		afterKill(t, path, acknowledged)
	}
	t.Logf("%d transactions were acknowledged by 6 processes that were killed", acknowledged)
}

// killOnce starts a child, kills it a moment after it has saved so many times,
// and returns the last number that it acknowledged.
func killOnce(t *testing.T, path string, saves int, moment time.Duration) int {
	t.Helper()
	child := exec.Command(os.Args[0])
	child.Env = append(os.Environ(), writeForever+"="+path)
	var complaints strings.Builder
	child.Stderr = &complaints
	out, err := child.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := child.Start(); err != nil {
		t.Fatal(err)
	}
	last := 0
	lines := bufio.NewReader(out)
	for seen := 0; ; seen++ {
		if seen == saves {
			time.AfterFunc(moment, func() { _ = child.Process.Kill() })
		}
		line, err := lines.ReadString('\n')
		if err == io.EOF {
			break // a line cut short acknowledges nothing
		}
		if err != nil {
			t.Fatal(err)
		}
		if last, err = strconv.Atoi(strings.TrimSpace(line)); err != nil {
			t.Fatal(err)
		}
	}
	_ = child.Wait() // it was killed, which is an error to Wait
	if complaints.Len() > 0 {
		t.Fatalf("the child ended by itself: %s", complaints.String())
	}
	return last
}

// afterKill checks that everything acknowledged is there whole, and nothing
// by half. That the file opens shows that the lock went with its process.
func afterKill(t *testing.T, path string, acknowledged int) {
	t.Helper()
	ctx := t.Context()
	s, err := OpenExclusive(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	err = s.Read(ctx, func(r store.Reader) error {
		p, err := store.Get[trug.Person](ctx, r, killID(0))
		if err != nil {
			return err
		}
		saved, err := strconv.Atoi(p.Name)
		if err != nil || saved < acknowledged || saved > acknowledged+1 {
			t.Errorf("%d transactions are there, %d were acknowledged (%v)", saved, acknowledged, err)
		}
		records, err := store.List[trug.Record](ctx, r, store.Filter{Season: killSeason})
		if err != nil || len(records) != saved {
			t.Errorf("%d records are there, want %d (%v)", len(records), saved, err)
		}
		for i, got := range records {
			if !reflect.DeepEqual(got, killRecord(i+1)) {
				t.Errorf("record %d is not whole", i+1)
			}
			views, err := r.Find(ctx, store.Views, store.Filter{Parent: got.ID})
			if err != nil || len(views) != 1 {
				t.Errorf("record %d has %d views (%v)", i+1, len(views), err)
			}
		}
		if seq, err := r.LastSeq(ctx); seq != int64(1+3*saved) || err != nil {
			t.Errorf("the last amendment is %d, want %d (%v)", seq, 1+3*saved, err)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if says, err := s.Check(ctx); err != nil || len(says) > 0 {
		t.Errorf("Check says %q (%v)", says, err)
	}
}
