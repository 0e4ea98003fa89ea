// Package photo reads photographs as cameras and phones write them: what kind
// of file it is and whether it is whole, when, where and with what it was taken,
// which way up it is, and its colours in sRGB. It makes the smaller JPEG that is
// shown in place of the original, without any of that.
//
// Read looks at headers only and refuses what is too large before anything is
// decoded; Upright decodes; Derivative scales down. All work on bytes in memory
// and keep nothing. What a photograph shows, and how sharp it is, is for others.
//
// Metadata is found by this package's own readers of the four containers; the
// EXIF block itself is read by github.com/bep/imagemeta. HEIC is decoded by
// github.com/gen2brain/heic, which runs libheif and libde265 (LGPL) as
// WebAssembly; in a build for the browser it is left out.
package photo
