package main

import (
	"bytes"
	"context"
	"image/jpeg"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

// Photographs are JPEGs of about the size that was asked for, and no two have
// the same bytes.
func TestPhotographs(t *testing.T) {
	seen := map[string]bool{}
	for _, pixels := range []int{0, 5_000, 200_000} {
		photographs(t, newPicture(60_000, pixels, 1), seen)
	}
	if len(seen) != 60 {
		t.Errorf("%d different photographs of 60", len(seen))
	}
}

func photographs(t *testing.T, p picture, seen map[string]bool) {
	t.Helper()
	for seed := range uint64(20) {
		data := p.bytesOf(seed)
		if _, err := jpeg.Decode(bytes.NewReader(data)); err != nil {
			t.Fatal(err)
		}
		if len(data) < 45_000 || len(data) > 61_000 {
			t.Errorf("%d bytes, want about 60,000", len(data))
		}
		seen[hashOf(data)] = true
	}
}

// What is lost, doubled or changed is counted.
func TestCompare(t *testing.T) {
	all := []*phone{{finds: []*find{
		{record: "a", remarks: "x", views: []*view{{hash: "1"}, {hash: "2"}}},
		{record: "b", remarks: "y", views: []*view{{hash: "3"}}},
	}}}
	whole := map[string]stored{"a": {"x", []string{"1", "2"}}, "b": {"y", []string{"3"}}}
	if c := compare(all, whole); c.bad() || c.records != 2 || c.photographs != 3 {
		t.Errorf("all is there: %+v", c)
	}
	if !(counted{phones: 1, people: 2}).bad() {
		t.Error("one phone may be two people")
	}
	for name, q := range map[string]struct {
		there map[string]stored
		want  counted
	}{
		"a record lost":          {map[string]stored{"a": whole["a"]}, counted{records: 1, lostRecords: 1, photographs: 2, lostPhotographs: 1}},
		"a record that none was": {map[string]stored{"a": whole["a"], "b": whole["b"], "c": {"y", nil}}, counted{records: 2, doubledRecords: 1, photographs: 3}},
		"a photograph twice":     {map[string]stored{"a": {"x", []string{"1", "2", "2"}}, "b": whole["b"]}, counted{records: 2, changedRecords: 1, photographs: 3, doubledPhotographs: 1}},
		"another's photograph":   {map[string]stored{"a": whole["a"], "b": {"y", []string{"3", "1"}}}, counted{records: 2, changedRecords: 1, photographs: 3, doubledPhotographs: 1}},
		"other bytes":            {map[string]stored{"a": whole["a"], "b": {"y", []string{"4"}}}, counted{records: 2, photographs: 2, lostPhotographs: 1, doubledPhotographs: 1}},
		"other words":            {map[string]stored{"a": whole["a"], "b": {"x", []string{"3"}}}, counted{records: 2, changedRecords: 1, photographs: 3}},
	} {
		if got := compare(all, q.there); got != q.want || !got.bad() {
			t.Errorf("%s: %+v, want %+v", name, got, q.want)
		}
	}
}

// The proxy fails about as many requests as asked for, some of them after the
// server has heard them, and lets all through once it is cleared.
func TestProxyFails(t *testing.T) {
	heard := 0
	to := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if body, err := io.ReadAll(r.Body); err == nil && string(body) == "cap" {
			heard++
		}
	}))
	defer to.Close()
	p, err := newProxy(strings.TrimPrefix(to.URL, "http://"), faults{fail: 0.2}, 1)
	if err != nil {
		t.Fatal(err)
	}
	defer p.close()
	send := func() bool {
		r, _ := http.NewRequestWithContext(context.Background(), "PUT", "http://"+p.address+"/", strings.NewReader("cap"))
		answer, err := http.DefaultClient.Do(r)
		if err != nil {
			return false
		}
		defer answer.Body.Close()
		return answer.StatusCode == 200
	}
	ok := 0
	for range 400 {
		if send() {
			ok++
		}
	}
	if failed := 400 - ok; failed < 50 || failed > 110 || heard <= ok || int64(failed) != p.failed.Load() {
		t.Errorf("%d of 400 failed and the proxy counts %d; the server heard %d of which %d were answered", failed, p.failed.Load(), heard, ok)
	}
	p.clear()
	for range 50 {
		if !send() {
			t.Fatal("a cleared proxy fails a request")
		}
	}
}

func TestGroups(t *testing.T) {
	var g groups
	for _, text := range []string{"500x2x4x1MB", "20x2x4x3MB@12000000"} {
		if err := g.Set(text); err != nil {
			t.Error(err)
		}
	}
	if g[0] != (group{500, 2, 4, 1_000_000, 0}) || g[1] != (group{20, 2, 4, 3_000_000, 12_000_000}) {
		t.Errorf("read %+v", g)
	}
	for _, text := range []string{"", "5", "5x2x4", "5x2x4x1", "0x2x4x1MB", "5x-2x4x1MB", "5x2x4x1GB", "5x2x4x1MB@much"} {
		if err := new(groups).Set(text); err == nil {
			t.Errorf("%q is taken", text)
		}
	}
}
