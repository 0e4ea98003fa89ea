package disk

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"hash"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"trug"
	"trug/internal/blob"
)

// Uploads is a blob.Uploads in a folder of its own: ID.part holds what came of
// a file, ID.json what it is. How much came is the length of the file, so a
// process that was killed amid a piece goes on from what reached the disk. One
// process may use the folder at a time.
type Uploads struct {
	dir string

	mu   sync.Mutex
	all  map[trug.ID]blob.Upload
	busy map[trug.ID]bool
}

var _ blob.Uploads = (*Uploads)(nil)

// OpenUploads opens the folder, which it makes where only its parent is there,
// and reads what lies in it. Parts without their description are removed.
func OpenUploads(dir string) (*Uploads, error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, explain(err)
	}
	u := &Uploads{dir: dir, all: map[trug.ID]blob.Upload{}, busy: map[trug.ID]bool{}}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, explain(err)
	}
	for _, e := range entries {
		if id, ok := strings.CutSuffix(e.Name(), ".json"); ok {
			u.read(trug.ID(id))
		}
	}
	for _, e := range entries {
		id, ok := strings.CutSuffix(e.Name(), ".part")
		if _, known := u.all[trug.ID(id)]; ok && !known || strings.HasSuffix(e.Name(), ".new") {
			_ = os.Remove(filepath.Join(dir, e.Name()))
		}
	}
	return u, nil
}

// read takes up an upload of a former process; one that can't be read is
// removed, and its sender begins again.
func (u *Uploads) read(id trug.ID) {
	up := blob.Upload{}
	data, err := os.ReadFile(u.path(id, ".json"))
	if err == nil {
		err = json.Unmarshal(data, &up)
	}
	info, noPart := os.Stat(u.path(id, ".part"))
	if err != nil || noPart != nil || up.ID != id || info.Size() > up.Length {
		_ = os.Remove(u.path(id, ".json"))
		return
	}
	if up.Offset = info.Size(); up.Whole() && u.proved(up) != nil {
		_ = os.Remove(u.path(id, ".json"))
		return
	}
	u.all[id] = up
}

func (u *Uploads) path(id trug.ID, end string) string { return filepath.Join(u.dir, string(id)+end) }

// Begin takes up a new file.
func (u *Uploads) Begin(_ context.Context, up blob.Upload) error {
	if !up.ID.Valid() || up.Length <= 0 || !up.Hash.Valid() {
		return trug.Errorf(trug.Invalid, "", "a file that comes in pieces has an identifier, a length and a hash")
	}
	up.Offset = 0
	f, err := os.OpenFile(u.path(up.ID, ".part"), os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return explain(err)
	}
	if err := errors.Join(f.Sync(), f.Close(), u.describe(up)); err != nil {
		return explain(err)
	}
	u.mu.Lock()
	defer u.mu.Unlock()
	u.all[up.ID] = up
	return nil
}

// describe writes down what an upload is, lastingly.
func (u *Uploads) describe(up blob.Upload) error {
	data, err := json.Marshal(up)
	if err != nil {
		return err
	}
	fresh := u.path(up.ID, ".new")
	f, err := os.OpenFile(fresh, os.O_CREATE|os.O_TRUNC|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	if err := errors.Join(err, f.Sync(), f.Close()); err != nil {
		return err
	}
	if err := os.Rename(fresh, u.path(up.ID, ".json")); err != nil {
		return err
	}
	return syncDir(u.dir)
}

// Get returns the upload.
func (u *Uploads) Get(_ context.Context, id trug.ID) (blob.Upload, error) {
	u.mu.Lock()
	defer u.mu.Unlock()
	up, ok := u.all[id]
	if !ok {
		return up, trug.Errorf(trug.NotFound, "", "There is no such file on its way here: begin it again.")
	}
	return up, nil
}

// hold keeps others off an upload; the function lets them.
func (u *Uploads) hold(id trug.ID, offset int64) (blob.Upload, func(), error) {
	u.mu.Lock()
	defer u.mu.Unlock()
	up, ok := u.all[id]
	switch {
	case !ok:
		return up, nil, trug.Errorf(trug.NotFound, "", "There is no such file on its way here: begin it again.")
	case u.busy[id]:
		return up, nil, trug.Errorf(trug.Conflict, "", "Another piece of this file is on its way: ask again how much has come.")
	case offset >= 0 && offset != up.Offset:
		return up, nil, trug.Errorf(trug.Conflict, "", "Another part of this file comes next: ask again how much has come.")
	}
	u.busy[id] = true
	return up, func() {
		u.mu.Lock()
		defer u.mu.Unlock()
		delete(u.busy, id)
	}, nil
}

// Append adds a piece.
func (u *Uploads) Append(ctx context.Context, id trug.ID, offset int64, r io.Reader, sum hash.Hash, want []byte, until time.Time) (blob.Upload, error) {
	up, letGo, err := u.hold(id, offset)
	if err != nil {
		return up, err
	}
	defer letGo()
	f, err := os.OpenFile(u.path(id, ".part"), os.O_WRONLY, 0)
	if err != nil {
		return up, explain(err)
	}
	defer f.Close()
	now, failed := piece(f, up, r, sum, want)
	up.Offset, up.Until = now, until
	u.mu.Lock()
	u.all[id] = up
	u.mu.Unlock()
	if failed != nil {
		return up, failed
	}
	if up.Whole() {
		if err := u.proved(up); err != nil {
			_ = u.Drop(ctx, id)
			return up, err
		}
	}
	return up, explain(u.describe(up))
}

// piece writes a piece and sees that it lasts; it returns how much is then here.
func piece(f *os.File, up blob.Upload, r io.Reader, sum hash.Hash, want []byte) (int64, error) {
	if _, err := f.Seek(up.Offset, io.SeekStart); err != nil {
		return up.Offset, explain(err)
	}
	var w io.Writer = f
	if sum != nil {
		w = io.MultiWriter(f, sum)
	}
	n, failed := io.Copy(w, io.LimitReader(r, up.Length-up.Offset))
	if sum != nil && (failed != nil || string(sum.Sum(nil)) != string(want)) {
		if failed == nil {
			failed = blob.ErrSum
		}
		return up.Offset, errors.Join(failed, explain(f.Truncate(up.Offset)), explain(f.Sync()))
	}
	if err := f.Sync(); err != nil {
		return up.Offset, explain(err)
	}
	return up.Offset + n, failed
}

// proved reads a whole file and compares its hash.
func (u *Uploads) proved(up blob.Upload) error {
	f, err := os.Open(u.path(up.ID, ".part"))
	if err != nil {
		return explain(err)
	}
	defer f.Close()
	sum := sha256.New()
	if _, err := io.Copy(sum, f); err != nil {
		return explain(err)
	}
	if hex.EncodeToString(sum.Sum(nil)) != string(up.Hash) {
		return trug.Errorf(trug.Invalid, "", "The photograph did not arrive as it left: it is sent again from the start.")
	}
	return nil
}

// Open returns what is here.
func (u *Uploads) Open(_ context.Context, id trug.ID) (io.ReadCloser, error) {
	f, err := os.Open(u.path(id, ".part"))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, trug.Errorf(trug.NotFound, "", "There is no such file on its way here: begin it again.")
	}
	return f, explain(err)
}

// Drop throws the upload away.
func (u *Uploads) Drop(_ context.Context, id trug.ID) error {
	u.mu.Lock()
	defer u.mu.Unlock()
	if _, ok := u.all[id]; !ok {
		return nil
	}
	delete(u.all, id)
	for _, end := range []string{".json", ".part"} {
		if err := os.Remove(u.path(id, end)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return explain(err)
		}
	}
	return nil
}

// Of returns the uploads of a person.
func (u *Uploads) Of(_ context.Context, person trug.ID) ([]blob.Upload, error) {
	u.mu.Lock()
	defer u.mu.Unlock()
	var out []blob.Upload
	for _, up := range u.all {
		if up.By == person {
			out = append(out, up)
		}
	}
	return out, nil
}

// Sweep drops those whose time is over.
func (u *Uploads) Sweep(ctx context.Context, now time.Time) (int, error) {
	var over []trug.ID
	u.mu.Lock()
	for id, up := range u.all {
		if up.Until.Before(now) && !u.busy[id] {
			over = append(over, id)
		}
	}
	u.mu.Unlock()
	for i, id := range over {
		if err := u.Drop(ctx, id); err != nil {
			return i, err
		}
	}
	return len(over), nil
}
