package web

import (
	"bytes"
	"encoding/json"
	"flag"
	"os"
	"strings"
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

// Every route of the API stands in its description.
func TestEveryRouteIsDescribed(t *testing.T) {
	raw, err := OpenAPI()
	if err != nil {
		t.Fatal(err)
	}
	var described struct {
		OpenAPI string `json:"openapi"`
		Paths   map[string]map[string]json.RawMessage
	}
	if err := json.Unmarshal(raw, &described); err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(described.OpenAPI, "3.1") {
		t.Errorf("described by OpenAPI %s, want 3.1", described.OpenAPI)
	}
	for _, r := range (&server{}).routes() {
		if strings.HasPrefix(r.path, "/api/") && described.Paths[r.path][strings.ToLower(r.method)] == nil {
			t.Errorf("%s %s is not described", r.method, r.path)
		}
	}
}
