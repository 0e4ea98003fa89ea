package blob

import (
	"context"
	"errors"
	"hash"
	"io"
	"time"

	"trug"
)

// ErrSum is the error of a piece whose bytes are not those that its sum tells.
var ErrSum = errors.New("the piece does not have the sum that was told of it")

// Upload is a file that comes in pieces.
type Upload struct {
	ID     trug.ID `json:"id"`
	Season trug.ID `json:"season"`
	By     trug.ID `json:"by"`
	Length int64   `json:"length"`
	// Hash is the SHA-256 of the whole file, as its sender told it.
	Hash     trug.Hash `json:"hash"`
	FileName string    `json:"fileName,omitempty"`
	// Until is when what has come is thrown away, unless more comes.
	Until time.Time `json:"until"`
	// Offset is how many bytes are here; Length when the file is whole and its
	// hash was found right.
	Offset int64 `json:"-"`
}

// Whole reports whether all of it is here.
func (u Upload) Whole() bool { return u.Offset == u.Length }

// Uploads keeps files while they come in pieces. Whatever Append counts is
// durable when it returns: it survives the end of the process and a power cut.
type Uploads interface {
	// Begin takes up a new file, of which nothing is here yet.
	Begin(ctx context.Context, u Upload) error
	// Get returns the upload, or an error of kind trug.NotFound.
	Get(ctx context.Context, id trug.ID) (Upload, error)
	// Append adds what r gives from the offset on, never more than the length,
	// and returns the upload as it then is. An offset other than the upload's,
	// or another piece on its way, is an error of kind trug.Conflict. With a sum
	// a piece is taken whole or, with ErrSum, not at all; without one, what came
	// before r failed is kept, and the error of r returned. A whole file whose
	// hash is wrong is dropped, with an error of kind trug.Invalid.
	Append(ctx context.Context, id trug.ID, offset int64, r io.Reader, sum hash.Hash, want []byte, until time.Time) (Upload, error)
	// Open returns what is here.
	Open(ctx context.Context, id trug.ID) (io.ReadCloser, error)
	// Drop throws the upload away, if it is here.
	Drop(ctx context.Context, id trug.ID) error
	// Of returns the uploads of a person, in no given order.
	Of(ctx context.Context, person trug.ID) ([]Upload, error)
	// Sweep drops those whose time is over and returns how many.
	Sweep(ctx context.Context, now time.Time) (int, error)
}
