package disk

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"runtime"

	"trug"
)

// Put keeps what r holds and returns its hash and size. The bytes are on the
// disk, under their name, when it returns nil. More than limit bytes is an
// error of kind trug.TooLarge; after any error nothing is kept.
func (s *Store) Put(ctx context.Context, r io.Reader, limit int64) (trug.Hash, int64, error) {
	f, err := os.CreateTemp(s.incoming(), "put-*")
	if err != nil {
		return "", 0, explain(err)
	}
	named := false
	defer func() { // after errors, and after a reader that panics
		f.Close()
		if !named {
			os.Remove(f.Name())
		}
	}()

	h, size, err := fill(ctx, f, r, limit)
	if err != nil {
		return "", 0, err
	}
	path, inner, outer := s.path(h)
	for _, dir := range []string{outer, inner} {
		if err := s.makeLasting(dir); err != nil {
			return "", 0, err
		}
	}
	// Where the bytes are here already they stay as they are; but that is
	// found out by reading them, so that a damaged file is mended.
	if is, err := hashOf(ctx, path, make([]byte, bufferSize)); err == nil && is == h {
		// They may have come this very moment by another Put, so their name
		// is made to last by this one too.
		return h, size, explain(syncDir(inner))
	}
	if err := finish(f, size); err != nil {
		return "", 0, err
	}
	if err := os.Rename(f.Name(), path); err != nil {
		return "", 0, explain(err)
	}
	named = true
	if err := syncDir(inner); err != nil {
		return "", 0, explain(err)
	}
	return h, size, nil
}

// bufferSize is how many bytes go through memory at a time.
const bufferSize = 256 << 10

// fill copies r to f and returns the hash and the number of bytes.
func fill(ctx context.Context, f *os.File, r io.Reader, limit int64) (trug.Hash, int64, error) {
	read := io.Reader(watched{ctx, r})
	if limit < math.MaxInt64 {
		read = io.LimitReader(read, max(limit, 0)+1) // one more shows that there is more
	}
	hash := sha256.New()
	buffer := make([]byte, bufferSize)
	// Hiding f's ReadFrom makes CopyBuffer use the buffer.
	size, err := io.CopyBuffer(io.MultiWriter(hash, f), read, buffer)
	var ofDisk *fs.PathError
	switch {
	case errors.As(err, &ofDisk) && ofDisk.Path == f.Name():
		return "", 0, explain(err)
	case err != nil:
		return "", 0, fmt.Errorf("read the file to keep: %w", err)
	case size > limit:
		return "", 0, trug.Errorf(trug.TooLarge, "", "the file has more than %d bytes, the most that is taken here: choose a smaller one", limit)
	}
	return trug.Hash(hex.EncodeToString(hash.Sum(nil))), size, nil
}

// finish makes the file read-only and sees that all its bytes are on the disk.
func finish(f *os.File, size int64) error {
	if err := f.Chmod(0o400); err != nil {
		return explain(err)
	}
	if err := f.Sync(); err != nil {
		return explain(err)
	}
	info, err := f.Stat()
	if err != nil {
		return explain(err)
	}
	if info.Size() != size {
		return trug.Errorf(trug.Internal, "", "only %d of %d bytes came to the disk: look after the disk, then try again", info.Size(), size)
	}
	return explain(f.Close())
}

// watched ends reading when the context ends.
type watched struct {
	ctx context.Context
	r   io.Reader
}

func (w watched) Read(p []byte) (int, error) {
	if err := w.ctx.Err(); err != nil {
		return 0, err
	}
	return w.r.Read(p)
}

// makeLasting makes the folder where it is missing and sees, once in the life
// of the process, that its parent lists it after a power cut. It does so for
// folders that are there too: another process may have made them just now.
func (s *Store) makeLasting(dir string) error {
	if _, known := s.lasting.Load(dir); known {
		return nil
	}
	if err := os.Mkdir(dir, 0o700); err != nil && !errors.Is(err, fs.ErrExist) {
		return explain(err)
	}
	if err := syncDir(filepath.Dir(dir)); err != nil {
		return explain(err)
	}
	s.lasting.Store(dir, true)
	return nil
}

// syncDir brings the folder's list of names to the disk. Windows does so by
// itself and has no call for it.
func syncDir(dir string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer d.Close()
	return d.Sync()
}
