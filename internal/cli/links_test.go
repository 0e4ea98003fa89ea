package cli

import (
	"context"
	"net/http"
	"path/filepath"
	"testing"
	"time"

	"trug/internal/app/apptest"
	"trug/internal/demo"
)

// The links by which visitors of the demonstration become anybody open nothing
// where a season is served in earnest, not even on the demonstration's folder.
func TestOnlyTheDemonstrationHasEntryLinks(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "data")
	clock := func() time.Time { return time.Date(2026, 10, 10, 17, 0, 0, 0, time.UTC) }
	a, closeData, err := openData(t.Context(), folder, opening{how: toServe, clock: clock})
	if err != nil {
		t.Fatal(err)
	}
	if err := apptest.Load(t.Context(), a, "2026-10-10"); err != nil {
		t.Fatal(err)
	}
	d := demo.Load("2026-10-10")
	coordinator, err := a.PersonByCode(t.Context(), d.Season.ID, "R02")
	if err != nil {
		t.Fatal(err)
	}
	link := "/enter/" + a.EntryToken(coordinator.ID)
	if err := closeData(); err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]int{"serve": http.StatusNotFound, "demo": http.StatusSeeOther} {
		t.Run(name, func(t *testing.T) {
			ctx, stop := context.WithCancel(t.Context())
			defer stop()
			s := &streams{out: &heard{}, err: &heard{}}
			address := free(t)
			c := serveCommand(s)
			if name == "demo" {
				c = demoCommand(s)
			}
			c.SetArgs([]string{"--data", folder, "--listen", address, "--today", "2026-10-10"})
			ended := make(chan error, 1)
			go func() { ended <- c.ExecuteContext(ctx) }()
			eventually(t, "http://"+address+"/api/setup", ended)
			asking := &http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
			got, err := asking.Get("http://" + address + link)
			if err != nil {
				t.Fatal(err)
			}
			got.Body.Close()
			if got.StatusCode != want {
				t.Errorf("the coordinator's link of the demonstration answers %d, want %d", got.StatusCode, want)
			}
			stop()
			if err := <-ended; err != nil {
				t.Errorf("it ended with %v", err)
			}
		})
	}
}
