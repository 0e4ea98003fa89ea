// Package view tells at once what one photograph shows: where the subject is,
// how sharp and how well lit, the field card, and a first size and colour. It
// runs on the phone, while the finder can still take the photograph again, and
// the same on the server.
//
// It proposes nothing (that is advice's), names nothing, and its size and colour
// are hints from an outline that nobody looked over: what is kept is measured by
// measure and truecolour. It decodes no files.
package view
