package cli

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"trug/internal/app"
	"trug/internal/offline"
)

func TestWhichPathIsAPhonesFile(t *testing.T) {
	dir := t.TempDir()
	var packed bytes.Buffer
	message := offline.Message{Number: 1, Set: map[string]json.RawMessage{"found": json.RawMessage(`{"date":"2026-10-10"}`)}}
	if err := offline.WriteFile(&packed, offline.File{Season: "S26", Recorder: "Wren\x1b[31m", Messages: []offline.Message{message}}, nil, "jpg"); err != nil {
		t.Fatal(err)
	}
	put := func(name string, data []byte) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	for _, path := range []string{dir, put("a.jpg", []byte("x")), filepath.Join(dir, "none.zip")} {
		if got, err := phoneFile(path); err != nil || got.file != nil {
			t.Errorf("%s is taken for a phone's file: %v", filepath.Base(path), err)
		}
	}
	if _, err := phoneFile(put("photographs.zip", []byte("PK"))); err == nil || !strings.Contains(err.Error(), "no zip") {
		t.Errorf("half a zip: %v", err)
	}
	got, err := phoneFile(put("phone.ZIP", packed.Bytes()))
	if err != nil || got.file == nil {
		t.Fatalf("%v", err)
	}
	defer got.close()

	var out bytes.Buffer
	s := &streams{out: &out}
	shown := phoneFileShown{Season: got.file.Season, Recorder: got.file.Recorder}
	s.phoneFile(shown, "Wren", *got.file)
	if text := out.String(); !strings.Contains(text, "Nothing is written yet") || !strings.Contains(text, "2026-10-10") || strings.Contains(text, "\x1b") {
		t.Errorf("the list reads %q", text)
	}
	out.Reset()
	shown.Written, shown.Answers = true, []app.MessageAnswer{{State: "refused", Says: "Something is wrong.", Faults: []app.FaultOfAField{{Field: "found", Says: "The day is missing."}}}}
	s.phoneFile(shown, "Wren", *got.file)
	if text := out.String(); !strings.Contains(text, "1: NOT WRITTEN: Something is wrong. The day is missing.") {
		t.Errorf("the outcome reads %q", text)
	}
}
