package card

// FoundTag is a tag as a photograph shows it.
type FoundTag struct {
	ID   int
	Seat int // its place on the card: see Tag
	// Corners are those of the black square, upper left, upper right, lower
	// right, lower left of the upright tag.
	Corners [4]Pixel
	// Covered says that part of the tag is hidden: only its visible edges
	// count, and the corners follow from the card's plane.
	Covered bool
	// Blur is the spread (sigma, pixels) of the edges, in linear light.
	Blur float64
}

// Found is a card that a photograph shows.
type Found struct {
	Layout *Layout
	// Batch tells which printing it is, where BatchKnown says that the tags
	// seen tell it: two neighbours do.
	Batch      int
	BatchKnown bool
	Tags       []FoundTag
	Plane      Plane
	// Residual is how far the tags' edges lie from the plane, in pixels (root
	// mean square over the tags, the noise of the edges taken off).
	Residual float64
	// Bent says that the card is not flat.
	Bent bool
	// Screen says that it seems to be shown on a screen and not printed.
	Screen bool

	curve *curve // nil for one that seems flat
}
