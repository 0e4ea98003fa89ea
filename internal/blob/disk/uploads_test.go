package disk

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"testing/iotest"
	"time"

	"trug"
	"trug/internal/blob"
)

func uploadOf(t *testing.T, n int64, data []byte) blob.Upload {
	t.Helper()
	id, err := trug.NewID(time.Unix(n, 0), rand.NewChaCha8([32]byte{byte(n)}))
	if err != nil {
		t.Fatal(err)
	}
	sum := sha256.Sum256(data)
	return blob.Upload{ID: id, Season: id, By: id, Length: int64(len(data)), Hash: trug.Hash(hex.EncodeToString(sum[:])), Until: time.Unix(n+1000, 0).UTC()}
}

func openUploads(t *testing.T, dir string) *Uploads {
	t.Helper()
	u, err := OpenUploads(dir)
	if err != nil {
		t.Fatal(err)
	}
	return u
}

func randomBytes(n int) []byte {
	out := make([]byte, n)
	_, _ = rand.NewChaCha8([32]byte{1}).Read(out)
	return out
}

// A file in pieces whose connection breaks off and whose server starts anew
// again and again comes whole, from where it was.
func TestUploadInPieces(t *testing.T) {
	dir, data, ctx := filepath.Join(t.TempDir(), "uploads"), randomBytes(300_000), t.Context()
	u := openUploads(t, dir)
	up := uploadOf(t, 1, data)
	if err := u.Begin(ctx, up); err != nil {
		t.Fatal(err)
	}
	r := rand.New(rand.NewPCG(7, 7))
	for starts := 0; ; starts++ {
		now, err := u.Get(ctx, up.ID)
		if err != nil {
			t.Fatal(err)
		}
		if now.Whole() {
			if starts < 5 {
				t.Fatalf("it came whole after %d pieces: the test breaks nothing off", starts)
			}
			break
		}
		most := r.Int64N(60_000)
		broken := io.MultiReader(io.LimitReader(bytes.NewReader(data[now.Offset:]), most), iotest.ErrReader(errors.New("cut")))
		after, err := u.Append(ctx, up.ID, now.Offset, broken, nil, nil, up.Until)
		if after.Offset < min(now.Offset+most, up.Length) || err == nil && !after.Whole() {
			t.Fatalf("%d bytes of %d came, and %d are counted (%v)", most, now.Offset, after.Offset, err)
		}
		u = openUploads(t, dir)
	}
	f, err := u.Open(ctx, up.ID)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if got, err := io.ReadAll(f); err != nil || !bytes.Equal(got, data) {
		t.Errorf("what came is not what was sent (%v)", err)
	}
}

func TestUploadsRefuse(t *testing.T) {
	dir, data, ctx := t.TempDir(), randomBytes(1000), t.Context()
	u := openUploads(t, dir)
	up := uploadOf(t, 2, data)
	if err := u.Begin(ctx, up); err != nil {
		t.Fatal(err)
	}
	// A piece with a wrong sum leaves nothing behind.
	if now, err := u.Append(ctx, up.ID, 0, bytes.NewReader(data[:400]), sha256.New(), []byte("wrong"), up.Until); !errors.Is(err, blob.ErrSum) || now.Offset != 0 {
		t.Errorf("a piece with a wrong sum: %d bytes, %v", now.Offset, err)
	}
	sum := sha256.Sum256(data[:400])
	if now, err := u.Append(ctx, up.ID, 0, bytes.NewReader(data[:400]), sha256.New(), sum[:], up.Until); err != nil || now.Offset != 400 {
		t.Errorf("a piece with its sum: %d bytes, %v", now.Offset, err)
	}
	for _, offset := range []int64{0, 399, 401} {
		if _, err := u.Append(ctx, up.ID, offset, bytes.NewReader(data), nil, nil, up.Until); trug.KindOf(err) != trug.Conflict {
			t.Errorf("from %d on: %v", offset, err)
		}
	}
	// Bytes that are not the file's end it.
	if _, err := u.Append(ctx, up.ID, 400, bytes.NewReader(make([]byte, 600)), nil, nil, up.Until); trug.KindOf(err) != trug.Invalid {
		t.Errorf("a file with another hash: %v", err)
	}
	if _, err := u.Get(ctx, up.ID); trug.KindOf(err) != trug.NotFound {
		t.Errorf("a file with another hash is still here: %v", err)
	}
	if left, _ := os.ReadDir(dir); len(left) != 0 {
		t.Errorf("%d files are left of it", len(left))
	}
}

func TestUploadsAreSwept(t *testing.T) {
	dir, ctx := t.TempDir(), t.Context()
	u := openUploads(t, dir)
	for n := range int64(3) {
		if err := u.Begin(ctx, uploadOf(t, 1+n*500, []byte("cap"))); err != nil {
			t.Fatal(err)
		}
	}
	u = openUploads(t, dir)
	if n, err := u.Sweep(ctx, time.Unix(1700, 0)); n != 2 || err != nil {
		t.Errorf("%d were swept, want 2 (%v)", n, err)
	}
	if left, _ := os.ReadDir(dir); len(left) != 2 {
		t.Errorf("%d files are left, want the two of one upload", len(left))
	}
	// What is half written down, or bears a foreign name, is no upload.
	for name, text := range map[string]string{"x.json": "{", "y.part": "abc", "z.new": ""} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	openUploads(t, dir)
	if left, _ := os.ReadDir(dir); len(left) != 2 {
		t.Errorf("%d files are left, want the two of one upload", len(left))
	}
}
