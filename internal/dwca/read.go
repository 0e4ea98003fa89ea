package dwca

import (
	"archive/zip"
	"bytes"
	"io"
	"os"
	"strings"
	"unicode/utf8"

	"trug"
)

// Limits bound what Read takes, so that a hostile file costs little.
type Limits struct {
	// Bytes bounds the zip file, Unpacked the sum of its files unpacked.
	Bytes, Unpacked int64
	// Entries bounds the number of files in it.
	Entries int
	// Ratio bounds how many times larger a file may be unpacked than packed;
	// files of less than a mebibyte are let pass.
	Ratio int64
}

// DefaultLimits suit a season of a hundred thousand finds.
var DefaultLimits = Limits{Bytes: 256 << 20, Unpacked: 1 << 30, Entries: 64, Ratio: 400}

func invalid(field, format string, args ...any) error {
	return trug.Errorf(trug.Invalid, field, format, args...)
}

// giveDeposit ends the sentences for files that are no deposits at all.
const giveDeposit = "give the zip file of a deposit that this program wrote"

// Read reads a deposit that Write wrote from the size bytes of r. Anything
// else is refused with one sentence of kind trug.Invalid or trug.TooLarge that
// says what it is and what to do. The result is the dataset as tidied.
func Read(r io.ReaderAt, size int64, limits Limits) (Dataset, error) {
	if size > limits.Bytes {
		return Dataset{}, trug.Errorf(trug.TooLarge, "", "the file has %d bytes, and %d are the most that is read: %s", size, limits.Bytes, giveDeposit)
	}
	if err := sniff(r, size); err != nil {
		return Dataset{}, err
	}
	z, err := zip.NewReader(r, size)
	if err != nil {
		return Dataset{}, invalid("", "the zip file is damaged or cut short: fetch it again")
	}
	files, err := entries(z, limits)
	if err != nil {
		return Dataset{}, err
	}
	d, format, err := metadata(files)
	if err != nil {
		return Dataset{}, err
	}
	if err := readTables(files, format, &d); err != nil {
		return Dataset{}, err
	}
	if err := validate(&d); err != nil {
		return Dataset{}, invalid("", "the deposit has been changed since it was written (%s): fetch it again", firstOf(err))
	}
	return d, nil
}

func firstOf(err error) string {
	if f, ok := err.(trug.Faults); ok {
		return f[0].Error()
	}
	return err.Error()
}

// sniff refuses what is no zip file, by its first bytes.
func sniff(r io.ReaderAt, size int64) error {
	if size <= 0 {
		return invalid("", "the file is empty: %s", giveDeposit)
	}
	head := make([]byte, min(size, 512))
	n, err := r.ReadAt(head, 0)
	if err != nil && err != io.EOF {
		return trug.Errorf(trug.Invalid, "", "the file can't be read: fetch it again")
	}
	head = head[:n]
	for _, kind := range []struct{ magic, is string }{
		{"PK\x03\x04", ""}, {"PK\x05\x06", ""},
		{"\xd0\xcf\x11\xe0", "a spreadsheet or text of an office program"},
		{"\x1f\x8b", "packed by gzip, not a zip file"},
		{"\xff\xd8\xff", "a photograph"}, {"\x89PNG", "a picture"},
		{"%PDF", "a PDF"}, {"SQLite format 3", "a database"},
	} {
		if !bytes.HasPrefix(head, []byte(kind.magic)) {
			continue
		}
		if kind.is == "" {
			return nil
		}
		return invalid("", "this is %s, not a deposit: %s", kind.is, giveDeposit)
	}
	if readable(head) {
		return invalid("", "this is plain text such as CSV, not a deposit: %s", giveDeposit)
	}
	return invalid("", "this is not a zip file: %s", giveDeposit)
}

// readable reports whether the bytes look like text.
func readable(head []byte) bool {
	for len(head) > 0 {
		r, n := utf8.DecodeRune(head)
		if r < ' ' && r != '\n' && r != '\r' && r != '\t' || r == utf8.RuneError && n == 1 && len(head) > utf8.UTFMax {
			return false
		}
		head = head[n:]
	}
	return true
}

// archive holds the files of a deposit by name.
type archive map[string]*zip.File

// entries checks the files in the zip before any is unpacked.
func entries(z *zip.Reader, limits Limits) (archive, error) {
	files := archive{}
	if len(z.File) > limits.Entries {
		return nil, trug.Errorf(trug.TooLarge, "", "the zip holds %d files, and a deposit has eight: %s", len(z.File), giveDeposit)
	}
	total := int64(0)
	for _, f := range z.File {
		if err := safe(f); err != nil {
			return nil, err
		}
		if f.UncompressedSize64 > uint64(limits.Unpacked) || f.CompressedSize64 > uint64(limits.Bytes) {
			return nil, tooLarge(limits)
		}
		if total += int64(f.UncompressedSize64); total > limits.Unpacked {
			return nil, tooLarge(limits)
		}
		if f.UncompressedSize64 > 1<<20 && int64(f.UncompressedSize64) > limits.Ratio*int64(f.CompressedSize64) {
			return nil, trug.Errorf(trug.TooLarge, "", "a file in the zip unpacks to over %d times its size, which no deposit does: %s", limits.Ratio, giveDeposit)
		}
		if _, twice := files[f.Name]; twice {
			return nil, invalid("", "the zip holds %s twice: fetch the deposit again", f.Name)
		}
		files[f.Name] = f
	}
	return files, nil
}

func tooLarge(limits Limits) error {
	return trug.Errorf(trug.TooLarge, "", "the zip unpacks to over %d bytes, which is more than is read: %s", limits.Unpacked, giveDeposit)
}

// safe refuses entries that point out of the archive. Nothing is ever
// unpacked to disk, but a zip with such names was made to do harm.
func safe(f *zip.File) error {
	name := f.Name
	if strings.HasPrefix(name, "/") || strings.Contains(name, "\\") || strings.Contains(name, ":") ||
		strings.HasPrefix(name, "../") || strings.Contains(name, "/../") || strings.HasSuffix(name, "/..") || name == ".." {
		return invalid("", "a file in the zip has a name that points outside it: don't use this file")
	}
	if f.Mode()&os.ModeSymlink != 0 {
		return invalid("", "the zip holds a link in place of a file: don't use this file")
	}
	return nil
}

// unpack returns what a file holds, which can't be more than it declared.
func (a archive) unpack(name string) ([]byte, error) {
	f, ok := a[name]
	if !ok {
		return nil, invalid(name, "the deposit lacks this file: fetch it again")
	}
	damaged := invalid(name, "the file in the zip is damaged: fetch the deposit again")
	r, err := f.Open()
	if err != nil {
		return nil, damaged
	}
	defer r.Close()
	var b bytes.Buffer
	b.Grow(int(min(f.UncompressedSize64, 64<<20)))
	if n, err := io.Copy(&b, io.LimitReader(r, int64(f.UncompressedSize64)+1)); err != nil || uint64(n) != f.UncompressedSize64 {
		return nil, damaged
	}
	return b.Bytes(), nil
}
