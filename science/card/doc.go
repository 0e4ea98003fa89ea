// Package card knows the field card: how each kind is laid out, which tags
// stand on it, where a photograph shows it, and the plane it lies in. Given a
// grey picture it finds the tags of the open family tag36h11, takes each edge
// to a fraction of a pixel in linear light, and fits the plane of the card.
//
// It measures no fungus: lengths and their uncertainty are for measure, the
// colours of the patches for colour. It draws no card: internal/paper prints
// what a Layout says.
//
// Conventions. Pixels: centres at integer coordinates, x to the right, y down.
// Spots on the card: millimetres from its upper left corner, x to the right,
// y down, on a card printed true to size. A tag's corners are those of its
// black square, upper left, upper right, lower right, lower left of the tag
// as it stands upright on the card.
package card
