package cli

import (
	"context"
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"time"

	"trug"
	"trug/internal/app"
	"trug/internal/blob"
	"trug/internal/blob/disk"
	"trug/internal/store"
	"trug/internal/store/sqlite"
)

// Files of a data folder.
const (
	databaseFile = "trug.db"
	photoFolder  = "photographs"
	uploadFolder = "uploads"
	secretFile   = "secret"
)

// how says how a data folder is opened.
type how int

const (
	toServe how = iota // made where there is none, for one server at a time
	toWork             // beside a server; must be there
)

// opening is what a command wants of a data folder.
type opening struct {
	how     how
	demo    bool // visitors become anybody by a link
	clock   func() time.Time
	address string
	log     *slog.Logger
}

// openData opens a data folder as an app; close it with the function.
func openData(ctx context.Context, dir string, o opening) (*app.App, func() error, error) {
	if err := ready(dir, o.how); err != nil {
		return nil, nil, err
	}
	open := sqlite.OpenExisting
	if o.how == toServe {
		open = sqlite.OpenExclusive
	}
	st, err := open(ctx, filepath.Join(dir, databaseFile))
	if err != nil {
		return nil, nil, err
	}
	a, err := assemble(st, dir, o)
	if err != nil {
		return nil, nil, errors.Join(err, st.Close())
	}
	return a, st.Close, nil
}

func assemble(st store.Store, dir string, o opening) (*app.App, error) {
	blobs, err := disk.Open(filepath.Join(dir, photoFolder))
	if err != nil {
		return nil, err
	}
	secret, err := secretOf(dir)
	if err != nil {
		return nil, err
	}
	var uploads blob.Uploads
	if o.how == toServe { // one process at a time
		if uploads, err = disk.OpenUploads(filepath.Join(dir, uploadFolder)); err != nil {
			return nil, err
		}
	}
	device := "command line"
	if o.how == toServe {
		device = "web"
	}
	return app.New(app.Options{Store: st, Blobs: blobs, Uploads: uploads, Secret: secret, Clock: o.clock, PublicAddress: strings.TrimRight(o.address, "/"), Device: device, EntryLinks: o.demo,
		Free: blobs.Free, Log: o.log, Version: version()})
}

// ready makes the folder for a server, and asks of others that it is there.
func ready(dir string, h how) error {
	if h == toServe {
		if err := os.MkdirAll(dir, 0o700); err != nil {
			return fmt.Errorf("the folder %s can't be made: %w", dir, err)
		}
		return nil
	}
	if _, err := os.Stat(filepath.Join(dir, databaseFile)); errors.Is(err, fs.ErrNotExist) {
		return exit{exitNoData, trug.Errorf(trug.NotFound, "", "there is no season in the folder %s: name the folder with --data, or make one with trug serve", dir)}
	} else if err != nil {
		return err
	}
	return nil
}

// secretOf reads the secret that seasons what is hashed, or makes it.
func secretOf(dir string) ([]byte, error) {
	path := filepath.Join(dir, secretFile)
	text, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		secret := make([]byte, 32)
		if _, err := rand.Read(secret); err != nil {
			return nil, err
		}
		f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
		if err != nil {
			return nil, fmt.Errorf("keep the secret of the folder: %w", err)
		}
		_, err = fmt.Fprintln(f, hex.EncodeToString(secret))
		return secret, errors.Join(err, f.Sync(), f.Close())
	}
	if err != nil {
		return nil, err
	}
	secret, err := hex.DecodeString(strings.TrimSpace(string(text)))
	if err != nil || len(secret) < 32 {
		return nil, trug.Errorf(trug.Invalid, path, "this file does not hold 64 hexadecimal figures: put it back from a backup. Without it recovery codes and phrases no longer open anything: remove the file, and invite people anew")
	}
	return secret, nil
}
