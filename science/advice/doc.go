// Package advice puts into set sentences what a finder can do better while still
// in front of the find: from what package view computed of a photograph, what the
// view is for, and what the group needs. Every sentence comes with its reason,
// and none stops anybody: the recorder can always go on.
//
// The same sentences come from the phone and from the server. It names no species
// and asks nobody to touch anything: what may be picked, cut or dug out is an
// argument, and where it is barred the sentence says what can be seen without.
package advice
