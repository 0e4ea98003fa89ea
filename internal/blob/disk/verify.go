package disk

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"trug"
)

// Verify reads every file and returns a sentence for each that does not hold
// the bytes which its name promises, can't be read, or does not belong there.
func (s *Store) Verify(ctx context.Context, progress trug.Progress) ([]string, error) {
	total := 0
	if err := s.walk(ctx, func(string, fs.DirEntry) error { total++; return nil }); err != nil {
		return nil, err
	}
	var says []string
	done := 0
	buffer := make([]byte, bufferSize)
	err := s.walk(ctx, func(path string, e fs.DirEntry) error {
		progress.Tell(done, total, "reading photographs")
		done++
		name, err := filepath.Rel(s.dir, path)
		if err != nil {
			return err
		}
		h := trug.Hash(e.Name())
		if !s.inPlace(path, h) || !e.Type().IsRegular() {
			says = append(says, fmt.Sprintf("%s: Trug did not put this here: move it elsewhere", name))
			return nil
		}
		is, err := hashOf(ctx, path, buffer)
		switch {
		case ctx.Err() != nil:
			return ctx.Err()
		case err != nil:
			says = append(says, fmt.Sprintf("%s: can't be read: restore it from a backup (%v)", name, err))
		case is != h:
			says = append(says, fmt.Sprintf("%s: holds other bytes than were kept under this name: hand in the same photograph again, or restore it from a backup", name))
		}
		return nil
	})
	if err == nil {
		progress.Tell(total, total, "reading photographs")
	}
	return says, err
}

func hashOf(ctx context.Context, path string, buffer []byte) (trug.Hash, error) {
	f, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer f.Close()
	hash := sha256.New()
	// Hiding f's WriteTo makes CopyBuffer use the buffer.
	if _, err := io.CopyBuffer(hash, watched{ctx, f}, buffer); err != nil {
		return "", err
	}
	return trug.Hash(hex.EncodeToString(hash.Sum(nil))), nil
}
