package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"image"
	"image/draw"
	"image/jpeg"
	"io"
	"os"
	"os/exec"
	"runtime"
	"strings"
	"syscall"
	"time"

	"trug/science/card"
	"trug/science/photo"
)

// tag is a tag as a detector reports it.
type tag struct {
	ID      int           `json:"id"`
	Corners [4][2]float64 `json:"corners"`
}

// result is what a detector said of a photograph.
type result struct {
	File     string  `json:"file"`
	Detector string  `json:"detector"`
	MS       float64 `json:"ms"`
	Tags     []tag   `json:"tags"`
	// Of ours alone: whether it calls the card bent, and how far off the two
	// lengths of 50 mm are, in %.
	Bent       bool `json:"bent,omitempty"`
	On, Beside *float64
}

const ours = "Trug"

// cpu is the processor time that this process has taken.
func cpu() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// opened is a photograph as its JPEG has it, and the lens that its EXIF tells.
func opened(path string) (*image.YCbCr, card.Focal, error) {
	raw, err := os.ReadFile(path)
	if err != nil {
		return nil, card.Focal{}, err
	}
	img, err := jpeg.Decode(bytes.NewReader(raw))
	if err != nil {
		return nil, card.Focal{}, err
	}
	y, ok := img.(*image.YCbCr)
	if !ok {
		return nil, card.Focal{}, fmt.Errorf("%s is no colour JPEG", path)
	}
	facts, err := photo.Read(context.Background(), raw, photo.Limits{})
	return y, card.Film35(facts.Lens35(), y.Rect.Dx(), y.Rect.Dy()), err
}

// grey is a photograph's luma, and the lens that its EXIF tells.
func grey(path string) (*image.Gray, card.Focal, error) {
	y, lens, err := opened(path)
	if err != nil {
		return nil, lens, err
	}
	return &image.Gray{Pix: y.Y, Stride: y.YStride, Rect: y.Rect}, lens, nil
}

// find runs ours on a photograph, from colours to pose; the caller keeps Go to one
// thread.
func find(f *card.Finder, p *photograph) (result, error) {
	y, lens, err := opened(p.path)
	if err != nil {
		return result{}, err
	}
	img := image.NewRGBA(y.Rect)
	draw.Draw(img, img.Rect, y, image.Point{}, draw.Src)
	runtime.GC()
	t := cpu()
	f.Lens = lens
	s := f.Find(img)
	for i := range s.Cards {
		s.Cards[i].Plane.Pose(lens)
	}
	r := result{File: p.path, Detector: ours, MS: float64(cpu()-t) / 1e6}
	for _, c := range s.Cards {
		for _, t := range c.Tags {
			r.add(t)
		}
	}
	for _, t := range s.Loose {
		r.add(t)
	}
	if len(s.Cards) > 0 {
		on, beside := lengthError(&s.Cards[0].Plane, p.truth.On), lengthError(&s.Cards[0].Plane, p.truth.Beside)
		r.Bent, r.On, r.Beside = s.Cards[0].Bent, &on, &beside
	}
	return r, nil
}

func (r *result) add(t card.FoundTag) {
	g := tag{ID: t.ID}
	for i, c := range t.Corners {
		g.Corners[i] = [2]float64{c.X, c.Y}
	}
	r.Tags = append(r.Tags, g)
}

// references is a process that runs the reference libraries, a photograph at a
// time.
type references struct {
	cmd *exec.Cmd
	in  io.WriteCloser
	out *bufio.Scanner
}

func startReferences(fast bool) (*references, error) {
	args := []string{"bench/cards/reference.py"}
	if fast {
		args = append(args, "--fast")
	}
	cmd := exec.Command("/usr/bin/python3", args...)
	cmd.Stderr = os.Stderr
	in, err := cmd.StdinPipe()
	if err != nil {
		return nil, err
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		return nil, err
	}
	sc := bufio.NewScanner(out)
	sc.Buffer(nil, 1<<24)
	return &references{cmd, in, sc}, cmd.Start()
}

// find runs the libraries on a photograph.
func (r *references) find(path string) (out []result, err error) {
	if strings.ContainsAny(path, "\r\n") {
		return nil, fmt.Errorf("%q: a name of one line is needed", path)
	}
	if _, err := fmt.Fprintln(r.in, path); err != nil {
		return nil, err
	}
	for r.out.Scan() {
		if len(r.out.Bytes()) == 0 {
			return out, nil
		}
		var one result
		if err := json.Unmarshal(r.out.Bytes(), &one); err != nil {
			return nil, err
		}
		out = append(out, one)
	}
	return nil, fmt.Errorf("%s: the reference libraries stopped: %v", path, r.out.Err())
}

func (r *references) stop() error {
	r.in.Close()
	return r.cmd.Wait()
}
