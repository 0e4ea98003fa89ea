package blob

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"

	"trug"
)

// Verify reads every file of the store and returns a sentence for each that
// does not hold the bytes which its name promises. A store that has a Verify
// of its own, which may look closer, is asked for it.
func Verify(ctx context.Context, s Store, progress trug.Progress) ([]string, error) {
	if own, ok := s.(interface {
		Verify(context.Context, trug.Progress) ([]string, error)
	}); ok {
		return own.Verify(ctx, progress)
	}
	total := 0
	if err := s.Each(ctx, func(trug.Hash, int64) error { total++; return nil }); err != nil {
		return nil, err
	}
	var says []string
	done := 0
	err := s.Each(ctx, func(h trug.Hash, size int64) error {
		progress.Tell(done, total, "reading photographs")
		done++
		is, n, err := hashOf(ctx, s, h)
		switch {
		case ctx.Err() != nil:
			return ctx.Err()
		case err != nil:
			says = append(says, fmt.Sprintf("%s: can't be read: restore it from a backup (%v)", h, err))
		case is != h || n != size:
			says = append(says, fmt.Sprintf("%s: holds other bytes than were kept under this name: restore it from a backup", h))
		}
		return nil
	})
	return says, err
}

func hashOf(ctx context.Context, s Store, h trug.Hash) (trug.Hash, int64, error) {
	r, err := s.Open(ctx, h)
	if err != nil {
		return "", 0, err
	}
	defer r.Close()
	hash := sha256.New()
	n, err := io.Copy(hash, r)
	return trug.Hash(hex.EncodeToString(hash.Sum(nil))), n, err
}
