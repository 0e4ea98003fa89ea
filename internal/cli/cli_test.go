package cli

import (
	"archive/zip"
	"bytes"
	"context"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"trug/internal/app/apptest"
	"trug/internal/demo/paint"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"trug": func() { os.Exit(Main(os.Args[1:], os.Stdout, os.Stderr)) }})
}

// The scripts under testdata/script run the program as a person does.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script",
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"season":  makeSeason,
			"photo":   makePhoto,
			"bomb":    makeBomb,
			"cut":     cutShort,
			"hostile": makeHostile,
			"rendered": func(ts *testscript.TestScript, _ bool, args []string) {
				raw, err := os.ReadFile(filepath.Join(renderedCards, args[0]))
				ts.Check(err)
				ts.Check(os.WriteFile(ts.MkAbs(args[0]), raw, 0o644))
			},
		},
	})
}

// renderedCards are photographs of the reference card of which all is known.
var renderedCards = func() string {
	dir, err := filepath.Abs("../../science/card/testdata/rendered")
	if err != nil {
		panic(err)
	}
	return dir
}()

// season FOLDER: puts the invented season of 10 October 2026 into a data folder.
func makeSeason(ts *testscript.TestScript, _ bool, args []string) {
	a, closeData, err := openData(context.Background(), ts.MkAbs(args[0]), opening{how: toServe, clock: func() time.Time {
		return time.Date(2026, 10, 10, 17, 0, 0, 0, time.UTC)
	}})
	ts.Check(err)
	ts.Check(apptest.Load(context.Background(), a, "2026-10-10"))
	ts.Check(closeData())
}

// photo FILE TIME [LAT LON]: a small photograph with the time that a camera
// would write, "-" for none.
func makePhoto(ts *testscript.TestScript, _ bool, args []string) {
	var c paint.Camera
	if args[1] != "-" {
		at, err := time.Parse("2006-01-02T15:04:05", args[1])
		ts.Check(err)
		c = paint.Camera{Make: "Hollin", Model: "Test", Taken: at}
	}
	if len(args) == 4 {
		lat, err := strconv.ParseFloat(args[2], 64)
		ts.Check(err)
		lon, err := strconv.ParseFloat(args[3], 64)
		ts.Check(err)
		c.HasPlace, c.Lat, c.Lon, c.AccuracyM = true, lat, lon, 5
	}
	img := image.NewRGBA(image.Rect(0, 0, 80, 60))
	for i := range 80 * 60 {
		// The name makes the picture unlike others.
		h := crc32.ChecksumIEEE([]byte(args[0] + strconv.Itoa(i/8)))
		img.Set(i%80, i/80, color.RGBA{uint8(h), uint8(h >> 8), uint8(h >> 16), 255})
	}
	var b bytes.Buffer
	ts.Check(jpeg.Encode(&b, img, nil))
	data, err := paint.WithEXIF(b.Bytes(), c, 80, 60)
	ts.Check(err)
	path := ts.MkAbs(args[0])
	ts.Check(os.MkdirAll(filepath.Dir(path), 0o755))
	ts.Check(os.WriteFile(path, data, 0o644))
}

// bomb FILE: a PNG of 30,000 x 30,000 pixels by its head, with next to nothing in it.
func makeBomb(ts *testscript.TestScript, _ bool, args []string) {
	var b bytes.Buffer
	ts.Check(png.Encode(&b, image.NewGray(image.Rect(0, 0, 8, 8))))
	data := b.Bytes()
	for i, v := range []byte{0, 0, 0x75, 0x30, 0, 0, 0x75, 0x30} {
		data[16+i] = v
	}
	sum := crc32.ChecksumIEEE(data[12:29])
	for i := range 4 {
		data[29+i] = byte(sum >> (24 - 8*i))
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), data, 0o644))
}

// cut FILE FROM: the first half of another file.
func cutShort(ts *testscript.TestScript, _ bool, args []string) {
	data, err := os.ReadFile(ts.MkAbs(args[1]))
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), data[:len(data)/2], 0o644))
}

// hostile FILE: a zip whose file would land outside of the folder.
func makeHostile(ts *testscript.TestScript, _ bool, args []string) {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, name := range []string{"../../escaped.txt", "meta.xml"} {
		w, err := z.Create(name)
		ts.Check(err)
		_, err = w.Write([]byte("<archive/>"))
		ts.Check(err)
	}
	ts.Check(z.Close())
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), b.Bytes(), 0o644))
}
