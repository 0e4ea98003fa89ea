package place

// node is a box round the edges from..to of a finder, with two halves below it
// unless it is a leaf (left is 0).
type node struct {
	west, south, east, north int64
	from, to                 int
	left, right              int
}

const leafEdges = 8

// build makes the tree over edges from..to and returns its index.
func (f *finder) build(from, to int) int {
	at := len(f.nodes)
	f.nodes = append(f.nodes, node{})
	first := f.edges[from].a
	n := node{west: first.x, east: first.x, south: first.y, north: first.y, from: from, to: to}
	for _, e := range f.edges[from:to] {
		n.west, n.east = min(n.west, e.a.x, e.b.x), max(n.east, e.a.x, e.b.x)
		n.south, n.north = min(n.south, e.a.y, e.b.y), max(n.north, e.a.y, e.b.y)
	}
	if to-from > leafEdges {
		mid := (from + to) / 2
		n.left = f.build(from, mid)
		n.right = f.build(mid, to)
	}
	f.nodes[at] = n
	return at
}

// meets reports whether the edge's box has a point in common with the node's.
func (n *node) meets(e *edge) bool {
	return min(e.a.x, e.b.x) <= n.east && max(e.a.x, e.b.x) >= n.west &&
		min(e.a.y, e.b.y) <= n.north && max(e.a.y, e.b.y) >= n.south
}

// join compares the edges of two nodes, or of one with each other.
func (f *finder) join(i, j int) {
	if f.faults >= mostContacts || f.pairs >= f.most {
		return
	}
	f.pairs++
	a, b := &f.nodes[i], &f.nodes[j]
	switch {
	case i == j && a.left == 0:
		for p := a.from; p < a.to; p++ {
			for q := p + 1; q < a.to; q++ {
				f.test(p, q)
			}
		}
		f.pairs += leafEdges * leafEdges / 2
	case i == j:
		f.join(a.left, a.left)
		f.join(a.right, a.right)
		f.join(a.left, a.right)
	case a.west > b.east || b.west > a.east || a.south > b.north || b.south > a.north:
	case a.left == 0 && b.left == 0:
		for p := a.from; p < a.to; p++ {
			if !b.meets(&f.edges[p]) {
				continue
			}
			for q := b.from; q < b.to; q++ {
				f.test(p, q)
			}
			f.pairs += leafEdges
		}
	case b.left == 0 || a.left != 0 && a.to-a.from >= b.to-b.from:
		f.join(a.left, j)
		f.join(a.right, j)
	default:
		f.join(i, b.left)
		f.join(i, b.right)
	}
}
