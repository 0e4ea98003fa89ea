// Command fill makes a data folder with a season as large as the Season desk
// is measured with: the invented season, and 500 sites, 5,000 forays and
// 50,000 people in all. `trug serve --data FOLDER --today 2026-10-10` serves
// it; npm run reach opens its pages in a browser.
package main

import (
	"context"
	"crypto/rand"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
	"trug/internal/blob/disk"
	"trug/internal/demo"
	"trug/internal/store/sqlite"
)

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "use: fill FOLDER (one that is not there yet)")
		os.Exit(1)
	}
	if err := fill(context.Background(), os.Args[1]); err != nil {
		fmt.Fprintln(os.Stderr, "fill:", err)
		os.Exit(1)
	}
}

func fill(ctx context.Context, dir string) error {
	if err := os.Mkdir(dir, 0o700); err != nil {
		return err
	}
	secret := make([]byte, 32)
	if _, err := rand.Read(secret); err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(dir, "secret"), []byte(hex.EncodeToString(secret)+"\n"), 0o600); err != nil {
		return err
	}
	st, err := sqlite.OpenExclusive(ctx, filepath.Join(dir, "trug.db"))
	if err != nil {
		return err
	}
	defer st.Close()
	blobs, err := disk.Open(filepath.Join(dir, "photographs"))
	if err != nil {
		return err
	}
	a, err := app.New(app.Options{Store: st, Blobs: blobs, Secret: secret, Device: "fill"})
	if err != nil {
		return err
	}
	d := demo.Load(trug.Date("2026-10-10"))
	if err := a.LoadDemonstration(ctx, d); err != nil {
		return err
	}
	return apptest.Fill(ctx, st, d.Season, d, apptest.Whole)
}
