package sqlite

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"trug"
)

// lock is the server's claim on a database: a lock that the system keeps on a
// file beside it and lets go when the process ends, however it ends. The file
// stays, since removing it would let two processes lock two files of one name.
// A nil lock is none.
type lock struct{ file *os.File }

// errLocked means that another process has the lock.
var errLocked = errors.New("locked")

// lockPatience is how long takeLock waits: long enough for a command beside
// the server to bring the tables up to date, short enough to sit through.
const lockPatience = 2 * time.Second

// takeLock takes the lock of the database in the file, or returns an error of
// kind trug.Busy that says what to do.
func takeLock(ctx context.Context, path string) (*lock, error) {
	f, err := os.OpenFile(path+".lock", os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return nil, trug.Errorf(trug.NotFound, "", "no lock file can be opened in %s: give Trug write access to the folder and the files in it", filepath.Dir(path))
	}
	for end := time.Now().Add(lockPatience); ; {
		err := tryLock(f)
		if err == nil {
			break
		}
		if !errors.Is(err, errLocked) {
			return nil, errors.Join(fmt.Errorf("lock %s: %w", f.Name(), err), f.Close())
		}
		if time.Now().After(end) {
			return nil, errors.Join(taken(f, path), f.Close())
		}
		select {
		case <-ctx.Done():
			return nil, errors.Join(ctx.Err(), f.Close())
		case <-time.After(50 * time.Millisecond):
		}
	}
	// Who holds it stands in the file for the sentence that others get to
	// read; the lock does not depend on it.
	if err := f.Truncate(0); err == nil {
		_, _ = f.WriteAt(fmt.Appendf(nil, "%d\n", os.Getpid()), 0)
	}
	return &lock{f}, nil
}

func taken(f *os.File, path string) error {
	holder := "another Trug"
	text := make([]byte, 20)
	if n, _ := f.ReadAt(text, 0); n > 0 {
		holder += " (process " + strings.TrimSpace(string(text[:n])) + ")"
	}
	return trug.Errorf(trug.Busy, "", "%s is already serving the data in %s: stop it first, or choose another data folder", holder, filepath.Dir(path))
}

// release lets go of the lock.
func (l *lock) release() error {
	if l == nil {
		return nil
	}
	return l.file.Close()
}
