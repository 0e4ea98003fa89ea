package web

import (
	"bytes"
	"encoding/json"
	"flag"
	"os"
	"testing"
)

var update = flag.Bool("update", false, "write files that are made from the code")

// The front end's types are made from ui/openapi.json, which must be what the
// server answers at /api/openapi.json.
func TestOpenAPIFileIsCurrent(t *testing.T) {
	raw, err := OpenAPI()
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := json.Indent(&b, raw, "", " "); err != nil {
		t.Fatal(err)
	}
	b.WriteByte('\n')
	const path = "ui/openapi.json"
	if *update {
		if err := os.WriteFile(path, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	have, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(have, b.Bytes()) {
		t.Errorf("%s is not what the server describes: run go test ./internal/web -run OpenAPI -update, then npm run types in ui", path)
	}
}
