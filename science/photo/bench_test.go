package photo

import (
	"image"
	"math"
	"math/rand/v2"
	"testing"
)

// twelveMegapixels is a JPEG of 4000 × 3000 pixels with smooth and fine parts.
func twelveMegapixels(b *testing.B) []byte {
	rng := rand.New(rand.NewPCG(1, 2))
	img := image.NewRGBA(image.Rect(0, 0, 4000, 3000))
	for y := range 3000 {
		for x := range 4000 {
			i := img.PixOffset(x, y)
			v := 128 + 80*math.Sin(float64(x)/90)*math.Cos(float64(y)/70)
			noise := float64(rng.IntN(24))
			img.Pix[i], img.Pix[i+1], img.Pix[i+2], img.Pix[i+3] = uint8(v), uint8(v*0.7+noise), uint8(255-v), 255
		}
	}
	return withEXIF(encodeJPEG(b, img), buildEXIF([]exifEntry{{0x0112, uint16(6)}}, nil, nil, 1))
}

func BenchmarkIntake(b *testing.B) {
	file := twelveMegapixels(b)
	b.SetBytes(int64(len(file)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Read(b.Context(), file, Limits{}); err != nil {
			b.Fatal(err)
		}
		img, err := Upright(b.Context(), file, Limits{})
		if err != nil {
			b.Fatal(err)
		}
		for _, side := range []int{1600, 400} {
			if _, _, _, err := Derivative(img, side, 85); err != nil {
				b.Fatal(err)
			}
		}
	}
}

func BenchmarkRead(b *testing.B) {
	file := testFile(b, "camera-files/HMD_Nokia_8.3_5G.jpg")
	for b.Loop() {
		if _, err := Read(b.Context(), file, Limits{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkUpright(b *testing.B) {
	file := twelveMegapixels(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Upright(b.Context(), file, Limits{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkUprightHEIC(b *testing.B) {
	file := testFile(b, "camera-files/iphone_13_pro_max.HEIC")
	for b.Loop() {
		if _, err := Upright(b.Context(), file, Limits{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkScale(b *testing.B) {
	img := image.NewRGBA(image.Rect(0, 0, 3000, 4000))
	for _, side := range []int{1600, 400} {
		b.Run(map[int]string{1600: "1600", 400: "400"}[side], func(b *testing.B) {
			for b.Loop() {
				Scale(img, side)
			}
		})
	}
}
