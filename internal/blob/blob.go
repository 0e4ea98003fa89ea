// Package blob keeps photographs and archives by the SHA-256 of their bytes:
// the interface; disk is the store in a folder, blobtest the suite that every
// store must pass. What is kept never changes and is never lost silently; only what somebody
// wishes gone is deleted.
package blob

import (
	"context"
	"io"

	"trug"
)

// Store keeps files by hash.
type Store interface {
	// Put keeps what r holds and returns its hash and size. When it returns
	// nil the bytes are durable: they survive a power cut. Putting the same
	// bytes again is harmless. More than limit bytes is an error of kind
	// trug.TooLarge, and nothing is kept.
	Put(ctx context.Context, r io.Reader, limit int64) (trug.Hash, int64, error)
	// Open returns the file, or an error of kind trug.NotFound.
	Open(ctx context.Context, h trug.Hash) (io.ReadSeekCloser, error)
	// Has reports whether the file is kept, and its size.
	Has(ctx context.Context, h trug.Hash) (size int64, ok bool, err error)
	// Remove deletes the file, if it is kept: for the original of whoever
	// wishes it gone, and for nothing else.
	Remove(ctx context.Context, h trug.Hash) error
	// Each calls fn for every file kept, in no given order.
	Each(ctx context.Context, fn func(h trug.Hash, size int64) error) error
}
