package app

import (
	"bytes"
	"context"
	"hash"
	"io"
	"time"

	"trug"
	"trug/internal/blob"
	"trug/internal/offline"
)

// What one person may have on its way at once: the photographs of a long day
// out of reach, and no more. The figures are our own judgement.
const (
	MostUploads     = 400
	MostUploadBytes = 3 << 30
	// UploadsLast is how long what has come of a file waits for the rest.
	UploadsLast = 7 * 24 * time.Hour
)

// ErrSum is the error of a piece whose bytes are not those that its sum tells.
var ErrSum = blob.ErrSum

// NewUpload is what is told of a file before it comes in pieces.
type NewUpload struct {
	Length   int64
	Hash     trug.Hash
	FileName string
}

// uploads returns where files in pieces are kept, or an error where none are.
func (a *App) uploads() (blob.Uploads, error) {
	if a.Uploads == nil {
		return nil, trug.Errorf(trug.NotFound, "", "Photographs in pieces are not taken here: hand them in whole.")
	}
	return a.Uploads, nil
}

// BeginUpload takes up a photograph that will come in pieces. One that the
// person is sending already, by its hash, is gone on with.
func (a *App) BeginUpload(ctx context.Context, v Viewer, n NewUpload) (blob.Upload, error) {
	l, err := a.open(ctx, v, HandIn)
	if err != nil {
		return blob.Upload{}, err
	}
	uploads, err := a.uploads()
	if err != nil {
		return blob.Upload{}, err
	}
	switch {
	case !n.Hash.Valid():
		return blob.Upload{}, trug.Errorf(trug.Invalid, "sha256", "a photograph in pieces is told by its SHA-256, in lower-case hexadecimal")
	case n.Length <= 0:
		return blob.Upload{}, trug.Errorf(trug.Invalid, "length", "the file is empty: take the photograph again")
	case n.Length > MaxPhotographBytes:
		return blob.Upload{}, trug.Errorf(trug.TooLarge, "length", "the file is over %d MB: hand in the camera's JPEG or HEIC", MaxPhotographBytes>>20)
	}
	if _, err := uploads.Sweep(ctx, a.Clock()); err != nil {
		return blob.Upload{}, err
	}
	of, err := uploads.Of(ctx, v.Person.ID)
	if err != nil {
		return blob.Upload{}, err
	}
	coming := n.Length
	for _, u := range of {
		if u.Hash == n.Hash && u.Length == n.Length && u.Season == v.Season {
			return u, nil
		}
		coming += u.Length
	}
	if len(of) >= MostUploads || coming > MostUploadBytes {
		return blob.Upload{}, trug.Errorf(trug.Busy, "", "Very many photographs of yours are on their way. This one waits on your device until the records of the others have been sent.")
	}
	if err := a.roomFor(l, v, coming); err != nil {
		return blob.Upload{}, err
	}
	u := blob.Upload{Season: v.Season, By: v.Person.ID, Length: n.Length, Hash: n.Hash, FileName: cleanFileName(n.FileName), Until: a.Clock().Add(UploadsLast).UTC()}
	if u.ID, err = a.newID(); err != nil {
		return u, err
	}
	return u, uploads.Begin(ctx, u)
}

// Upload returns how much of a photograph has come. Another person's is not there.
func (a *App) Upload(ctx context.Context, v Viewer, id trug.ID) (blob.Upload, error) {
	if _, err := a.open(ctx, v, HandIn); err != nil {
		return blob.Upload{}, err
	}
	uploads, err := a.uploads()
	if err != nil {
		return blob.Upload{}, err
	}
	u, err := uploads.Get(ctx, id)
	if err == nil && (u.By != v.Person.ID || u.Season != v.Season) {
		err = noUpload()
	}
	if err != nil {
		return blob.Upload{}, err
	}
	return u, nil
}

func noUpload() error {
	return trug.Errorf(trug.NotFound, "", "There is no such file on its way here: begin it again.")
}

// ContinueUpload adds a piece to a photograph, and returns how much is then
// here; that is told beside an error as well. With a sum the piece is taken
// whole or not at all. What is counted is durable.
func (a *App) ContinueUpload(ctx context.Context, v Viewer, id trug.ID, offset int64, r io.Reader, sum hash.Hash, want []byte) (blob.Upload, error) {
	u, err := a.Upload(ctx, v, id)
	if err != nil {
		return u, err
	}
	return a.Uploads.Append(ctx, id, offset, r, sum, want, a.Clock().Add(UploadsLast).UTC())
}

// DropUpload throws away what came of a photograph.
func (a *App) DropUpload(ctx context.Context, v Viewer, id trug.ID) error {
	if _, err := a.Upload(ctx, v, id); err != nil {
		return err
	}
	return a.Uploads.Drop(ctx, id)
}

// photographsOf returns the photographs that a message names, by their hash,
// and the hashes of those that have not arrived. Those that came in pieces become
// photographs here, one message after another: where hundreds of phones send at
// once their records become whole in turn, rather than all of them at the end. What
// is made of a photograph may follow, so that no phone waits for it.
// Whose they are is asked when the record is saved.
func (a *App) photographsOf(ctx context.Context, v Viewer, m offline.Message) (map[string]trug.ID, []trug.Hash, error) {
	known, missing := map[string]trug.ID{}, []trug.Hash{}
	var giveBack func()
	turn := func() (err error) {
		if giveBack == nil {
			giveBack, err = a.turns.take(ctx, 1)
		}
		return err
	}
	defer func() {
		if giveBack != nil {
			giveBack()
		}
	}()
	for _, view := range m.Views {
		if view.Handed != "" {
			known[view.Key()] = view.Handed
			continue
		}
		p, err := a.photographByHash(ctx, v.Season, view.Photograph)
		if trug.KindOf(err) == trug.NotFound && err != nil {
			p, err = a.keepArrived(ctx, v, view, turn)
		}
		switch {
		case err != nil && trug.KindOf(err) == trug.NotFound:
			missing = append(missing, view.Photograph)
		case err != nil:
			return nil, nil, err
		default:
			known[view.Key()] = p.ID
		}
	}
	return known, missing, nil
}

// keepArrived makes a photograph of a file that came in pieces once turn lets
// it, or returns an error of kind NotFound.
func (a *App) keepArrived(ctx context.Context, v Viewer, view offline.View, turn func() error) (p trug.Photograph, err error) {
	u, ok, err := a.arrived(ctx, v, view.Photograph)
	if err != nil || !ok {
		return p, notFoundOr(err)
	}
	if err := turn(); err != nil {
		return p, err
	}
	f, err := a.Uploads.Open(ctx, u.ID)
	if err != nil {
		return p, err
	}
	defer f.Close()
	var data bytes.Buffer
	data.Grow(int(u.Length))
	if _, err := io.Copy(&data, f); err != nil {
		return p, err
	}
	l, err := a.open(ctx, v, HandIn)
	if err != nil {
		return p, err
	}
	later := a.mayWait(l)
	p, _, err = a.keepPhotograph(ctx, v, l, handed{cleanFileName(u.FileName), data.Bytes(), later})
	if err == nil && later {
		select {
		case a.later <- struct{}{}:
		default: // told already
		}
	}
	return p, err
}

func notFoundOr(err error) error {
	if err == nil {
		err = noUpload()
	}
	return err
}

// arrived returns the person's upload that is whole and has the hash.
func (a *App) arrived(ctx context.Context, v Viewer, h trug.Hash) (blob.Upload, bool, error) {
	if a.Uploads == nil {
		return blob.Upload{}, false, nil
	}
	of, err := a.Uploads.Of(ctx, v.Person.ID)
	for _, u := range of {
		if u.Hash == h && u.Whole() && u.Season == v.Season {
			return u, true, nil
		}
	}
	return blob.Upload{}, false, err
}

// dropArrived throws away the uploads of photographs that are kept. What it
// can't throw away is swept when its time is over.
func (a *App) dropArrived(ctx context.Context, v Viewer, kept []trug.Hash) {
	for _, h := range kept {
		if u, ok, err := a.arrived(ctx, v, h); err == nil && ok {
			_ = a.Uploads.Drop(ctx, u.ID)
		}
	}
}
