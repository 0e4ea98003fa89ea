package offline_test

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"os"
	"strings"
	"testing"

	"trug"
	"trug/internal/offline"
)

const (
	aPhone  = trug.ID("01999999-0000-7000-8000-000000000001")
	aRecord = trug.ID("01999999-0000-7000-8000-000000000002")
)

func sumOf(data []byte) trug.Hash {
	sum := sha256.Sum256(data)
	return trug.Hash(hex.EncodeToString(sum[:]))
}

func written(t testing.TB, f offline.File, photographs ...[]byte) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := offline.WriteFile(&out, f, photographs, "jpg"); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func oneRecord(picture []byte) offline.File {
	return offline.File{Season: "S26", Recorder: "Wren", Messages: []offline.Message{{Phone: aPhone, Number: 1, Record: aRecord,
		Set: map[string]json.RawMessage{"form": json.RawMessage(`"gilled"`)}, Views: []offline.View{{Photograph: sumOf(picture), Kind: trug.Top}}}}}
}

// zipped packs entries by name as somebody else might.
func zipped(t testing.TB, entries ...string) []byte {
	t.Helper()
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for i := 0; i < len(entries); i += 2 {
		w, err := z.CreateHeader(&zip.FileHeader{Name: entries[i], Method: zip.Deflate})
		if err == nil {
			_, err = w.Write([]byte(entries[i+1]))
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func read(data []byte) (offline.File, error) {
	return offline.ReadFile(bytes.NewReader(data), int64(len(data)))
}

func TestAFileComesBack(t *testing.T) {
	picture := []byte("not really a picture")
	f, err := read(written(t, oneRecord(picture), picture))
	if err != nil {
		t.Fatal(err)
	}
	if f.Season != "S26" || f.Recorder != "Wren" || len(f.Messages) != 1 || f.Messages[0].Validate() != nil {
		t.Errorf("%+v", f)
	}
	if got, err := f.Photograph(sumOf(picture), 1000); err != nil || !bytes.Equal(got, picture) {
		t.Errorf("the photograph: %q %v", got, err)
	}
	if _, err := f.Photograph(sumOf(nil), 1000); trug.KindOf(err) != trug.NotFound {
		t.Errorf("one that is not there: %v", err)
	}
	if _, err := f.Photograph(sumOf(picture), 5); trug.KindOf(err) != trug.TooLarge {
		t.Errorf("one that is too large: %v", err)
	}
}

// The file that the app writes in a browser (ui/src/field/zip.ts), kept by its
// own test, is read here.
func TestAFileOfTheApp(t *testing.T) {
	data, err := os.ReadFile("testdata/phone.zip")
	if err != nil {
		t.Fatal(err)
	}
	f, err := read(data)
	if err != nil || f.Season != "S26" || len(f.Messages) != 1 {
		t.Fatalf("%+v %v", f, err)
	}
	for _, v := range f.Messages[0].Views {
		if _, err := f.Photograph(v.Photograph, 1000); err != nil {
			t.Errorf("%s: %v", v.Kind, err)
		}
	}
}

func TestBadFiles(t *testing.T) {
	head := `{"format":"trug records 1","season":"S26","messages":[]}`
	name := "photographs/" + string(sumOf([]byte("x"))) + ".jpg"
	whole := written(t, oneRecord([]byte("x")), []byte("x"))
	for what, c := range map[string]struct {
		data []byte
		says string
	}{
		"nothing":              {nil, "no zip"},
		"half a file":          {whole[:len(whole)/2], "no zip"},
		"no records":           {zipped(t, name, "x"), "no records of a phone"},
		"a path upwards":       {zipped(t, "records.json", head, "../../etc/passwd", "x"), "does not write"},
		"a path upwards, in":   {zipped(t, "records.json", head, "photographs/../../x.jpg", "x"), "does not write"},
		"a path of Windows":    {zipped(t, "records.json", head, `photographs\..\x.jpg`, "x"), "does not write"},
		"the same twice":       {zipped(t, "records.json", head, name, "x", strings.Replace(name, ".jpg", ".png", 1), "x"), "does not write"},
		"records twice":        {zipped(t, "records.json", head, "records.json", head), "does not write"},
		"no JSON":              {zipped(t, "records.json", "{"), "can't be read"},
		"another format":       {zipped(t, "records.json", `{"format":"trug records 9"}`), "use the version"},
		"a bomb of records":    {zipped(t, "records.json", strings.Repeat(" ", 17<<20)), "over 16 MB"},
		"very many records":    {zipped(t, "records.json", `{"format":"trug records 1","messages":[`+strings.Repeat(`{},`, 1000)+`{}]}`), "more than 1000 records"},
		"a file of other bits": {zipped(t, "records.json", `{"format":"trug records 1","messages":[{"number":"one"}]}`), "can't be read"},
	} {
		if _, err := read(c.data); err == nil || trug.KindOf(err) != trug.Invalid && trug.KindOf(err) != trug.TooLarge || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", what, err)
		}
	}
}

// A photograph that unpacks to far more than it says, or to other bytes, is
// given up in time.
func TestABombOfAPhotograph(t *testing.T) {
	head := `{"format":"trug records 1","season":"S26","messages":[]}`
	hash := sumOf(make([]byte, 64<<20))
	var packed bytes.Buffer
	w, _ := flate.NewWriter(&packed, flate.BestCompression)
	if _, err := w.Write(make([]byte, 64<<20)); err != nil || w.Close() != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	h, _ := z.Create("records.json")
	_, _ = h.Write([]byte(head))
	raw, err := z.CreateRaw(&zip.FileHeader{Name: "photographs/" + string(hash) + ".jpg", Method: zip.Deflate, UncompressedSize64: 10, CompressedSize64: uint64(packed.Len())})
	if err == nil {
		_, err = raw.Write(packed.Bytes())
	}
	if err != nil || z.Close() != nil {
		t.Fatal(err)
	}
	f, err := read(out.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	if data, err := f.Photograph(hash, 1<<20); err == nil {
		t.Errorf("%d bytes came of it", len(data))
	}
	other := "photographs/" + string(sumOf([]byte("x"))) + ".jpg"
	if f, err = read(zipped(t, "records.json", head, other, "y")); err != nil {
		t.Fatal(err)
	}
	if _, err := f.Photograph(sumOf([]byte("x")), 1000); err == nil || !strings.Contains(err.Error(), "not the one") {
		t.Errorf("other bytes: %v", err)
	}
}

func FuzzReadFile(f *testing.F) {
	picture := []byte("x")
	f.Add(written(f, oneRecord(picture), picture))
	f.Add(zipped(f, "records.json", `{"format":"trug records 1","messages":[{"views":[{}]}]}`))
	f.Add([]byte("PK\x05\x06"))
	f.Fuzz(func(t *testing.T, data []byte) {
		got, err := read(data)
		if err != nil {
			if k := trug.KindOf(err); k != trug.Invalid && k != trug.TooLarge {
				t.Fatalf("%v is no fault of the file's", err)
			}
			return
		}
		for _, m := range got.Messages {
			if m.Validate() != nil {
				continue
			}
			for _, v := range m.Views {
				if data, err := got.Photograph(v.Photograph, 1<<16); err == nil && sumOf(data) != v.Photograph {
					t.Fatal("other bytes than the hash tells")
				}
			}
		}
	})
}
