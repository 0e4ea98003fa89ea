// Package disk keeps files by hash in a folder: dir/ab/cd/abcd…, the first
// four figures of the hash spread over two levels so that no folder grows
// long, and dir/incoming for what is still on its way. Files are written once,
// under another name, and get theirs when all their bytes are on the disk; from
// then on they are read-only. The folder can be copied by any tool, at any
// time, and a copy without incoming is whole.
package disk

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"syscall"
	"time"

	"trug"
)

// Store is a blob.Store in a folder. It is safe for concurrent use, and
// several processes may use one folder at once.
type Store struct {
	dir string
	// lasting holds the folders whose names are known to survive a power cut.
	lasting sync.Map
}

// incoming is the folder of unfinished files. Its name is no pair of
// hexadecimal figures, so it never meets a folder of hashes.
const incoming = "incoming"

// abandoned is how long an unfinished file may lie untouched before Open takes
// it for the remains of a process that ended: far longer than any connection
// stays open without a byte, so that a command beside the server leaves the
// server's files alone.
const abandoned = time.Hour

// Open opens the store in the folder, which it makes where only its parent is
// there, and removes unfinished files that were abandoned.
func Open(dir string) (*Store, error) {
	dir, err := filepath.Abs(dir)
	if err != nil {
		return nil, err
	}
	s := &Store{dir: dir}
	// The parent of the folder may be one that Trug can't look into, so it
	// is synchronised only where the folder is new.
	if _, err := os.Stat(dir); err == nil {
		s.lasting.Store(dir, true)
	}
	for _, d := range []string{dir, s.incoming()} {
		if err := s.makeLasting(d); err != nil {
			return nil, err
		}
	}
	return s, s.clear(time.Now().Add(-abandoned))
}

func (s *Store) incoming() string { return filepath.Join(s.dir, incoming) }

// clear removes unfinished files last touched before the given instant.
func (s *Store) clear(before time.Time) error {
	entries, err := os.ReadDir(s.incoming())
	if err != nil {
		return explain(err)
	}
	for _, e := range entries {
		info, err := e.Info()
		if err != nil || !info.ModTime().Before(before) {
			continue // gone already, or at work
		}
		if err := os.Remove(filepath.Join(s.incoming(), e.Name())); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return explain(err)
		}
	}
	return nil
}

// path returns where the file with the hash lies, and the folders on the way.
func (s *Store) path(h trug.Hash) (file, inner, outer string) {
	outer = filepath.Join(s.dir, string(h[:2]))
	inner = filepath.Join(outer, string(h[2:4]))
	return filepath.Join(inner, string(h)), inner, outer
}

// Open returns the file, or an error of kind trug.NotFound.
func (s *Store) Open(ctx context.Context, h trug.Hash) (io.ReadSeekCloser, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if !h.Valid() {
		return nil, notFound(h)
	}
	path, _, _ := s.path(h)
	f, err := os.Open(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, notFound(h)
	case err != nil:
		return nil, explain(err)
	}
	return f, nil
}

// Has reports whether the file is kept, and its size.
func (s *Store) Has(ctx context.Context, h trug.Hash) (size int64, ok bool, err error) {
	if err := ctx.Err(); err != nil {
		return 0, false, err
	}
	if !h.Valid() {
		return 0, false, nil
	}
	path, _, _ := s.path(h)
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return 0, false, nil
	case err != nil:
		return 0, false, explain(err)
	}
	return info.Size(), info.Mode().IsRegular(), nil
}

// Remove deletes the file, if it is kept, and sees that the folder no longer
// lists it after a power cut.
func (s *Store) Remove(ctx context.Context, h trug.Hash) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	if !h.Valid() {
		return notFound(h)
	}
	path, inner, _ := s.path(h)
	err := os.Remove(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return explain(err)
	}
	return explain(syncDir(inner))
}

// Each calls fn for every file kept, by rising hash. An error of fn ends it.
func (s *Store) Each(ctx context.Context, fn func(h trug.Hash, size int64) error) error {
	return s.walk(ctx, func(path string, e fs.DirEntry) error {
		h := trug.Hash(e.Name())
		if !s.inPlace(path, h) {
			return nil
		}
		info, err := e.Info()
		if err != nil {
			return explain(err)
		}
		return fn(h, info.Size())
	})
}

// inPlace reports whether the path is where a file with the hash belongs.
func (s *Store) inPlace(path string, h trug.Hash) bool {
	if !h.Valid() {
		return false
	}
	where, _, _ := s.path(h)
	return where == path
}

// walk calls fn for whatever is not a folder, outside incoming.
func (s *Store) walk(ctx context.Context, fn func(path string, e fs.DirEntry) error) error {
	return filepath.WalkDir(s.dir, func(path string, e fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return explain(err)
		case ctx.Err() != nil:
			return ctx.Err()
		case e.IsDir() && path == s.incoming():
			return fs.SkipDir
		case e.IsDir():
			return nil
		}
		return fn(path, e)
	})
}

func notFound(h trug.Hash) error {
	return trug.Errorf(trug.NotFound, "", "there is no file %s here", h)
}

// explain puts a sentence before what the system says.
func explain(err error) error {
	var says string
	switch {
	case err == nil:
		return nil
	case errors.Is(err, syscall.ENOSPC):
		says = "the disk is full and no photograph can be kept: make room, then try again"
	case errors.Is(err, fs.ErrPermission):
		says = "the folder of photographs can't be read or written: give Trug access to it and the files in it"
	case errors.Is(err, fs.ErrNotExist):
		return &trug.Error{Kind: trug.NotFound, Says: "the folder of photographs is not there: see that the disk is in place, or choose another folder", Err: err}
	default:
		says = "the folder of photographs gives an error: look after the disk, then start Trug again"
	}
	return &trug.Error{Kind: trug.Internal, Says: says, Err: err}
}
