package paper

import (
	"bytes"
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// A printed sheet is also read aloud by machines: text is marked on the page
// and listed in reading order in a tree that is added to the finished file as
// an update (ISO 32000-1, sections 7.5.6, 14.7 and 14.8). What is not marked,
// rules, frames and footers, is an artifact.

// tag is one element of the tree.
type tag struct {
	kind string // H1, H2, P or Figure
	alt  string // what a figure shows
	page int
	mark int // its number on its page
}

// mark begins an element, unless one is open or the page's margins are drawn.
// It reports whether it did.
func (d *drawing) mark(kind, alt string) bool {
	if d.muted || d.marked || d.margin {
		return false
	}
	if d.as != "" {
		kind = d.as
	}
	d.marked = true
	n := 0
	if i := len(d.tags); i > 0 && d.tags[i-1].page == d.page {
		n = d.tags[i-1].mark + 1
	}
	d.tags = append(d.tags, tag{kind, alt, d.page, n})
	d.pdf.RawWriteStr(fmt.Sprintf("EMC /%s <</MCID %d>> BDC", kind, n))
	return true
}

// unmark ends the element that a mark that reported true began.
func (d *drawing) unmark(began bool) {
	if began {
		d.marked = false
		d.pdf.RawWriteStr("EMC /Artifact BMC")
	}
}

// titled draws a title of a kind: what f sets becomes H1 or H2.
func (d *drawing) titled(kind string, f func() float64) float64 {
	d.as = kind
	defer func() { d.as = "" }()
	return f()
}

var (
	trailerForm = regexp.MustCompile(`trailer\n<<\n/Size (\d+)\n/Root (\d+) 0 R\n/Info (\d+) 0 R\n>>\nstartxref\n(\d+)\n%%EOF\n?$`)
	kidsForm    = regexp.MustCompile(`/Kids \[((?:\d+ 0 R )+)\]`)
)

// update is a file and the objects that are to be added to it.
type update struct {
	pdf     []byte
	offsets []int // of the objects that it has, by number
	next    int   // the first free number
	changed map[int]string
	order   []int
}

func readUpdate(pdf []byte) (u *update, root, info, start int, err error) {
	m := trailerForm.FindSubmatch(pdf)
	if m == nil {
		return nil, 0, 0, 0, fmt.Errorf("the file has no trailer of the form that is written here")
	}
	var v [4]int
	for i := range v {
		v[i], _ = strconv.Atoi(string(m[i+1])) // digits by the expression
	}
	u = &update{pdf: pdf, next: v[0], changed: map[int]string{}}
	if v[3] >= len(pdf) {
		return nil, 0, 0, 0, fmt.Errorf("the file's table of objects lies behind its end")
	}
	lines := strings.Split(string(pdf[v[3]:]), "\n") // "xref", "0 n", then one line each
	for i := range v[0] {
		if i+2 >= len(lines) || len(lines[i+2]) < 10 {
			return nil, 0, 0, 0, fmt.Errorf("the file's table of objects is short")
		}
		at, err := strconv.Atoi(lines[i+2][:10])
		if err != nil || at > len(pdf) {
			return nil, 0, 0, 0, fmt.Errorf("the file's table of objects is damaged")
		}
		u.offsets = append(u.offsets, at)
	}
	return u, v[1], v[2], v[3], nil
}

// dictionary returns object n as it stands in the file, without its end.
func (u *update) dictionary(n int) (string, error) {
	if n < 1 || n >= len(u.offsets) {
		return "", fmt.Errorf("the file has no object %d", n)
	}
	s := u.pdf[u.offsets[n]:]
	end := bytes.Index(s, []byte("endobj"))
	head := fmt.Sprintf("%d 0 obj\n", n)
	if end < 0 || !bytes.HasPrefix(s, []byte(head)) {
		return "", fmt.Errorf("object %d is not where the table says", n)
	}
	body := strings.TrimSpace(string(s[len(head):end]))
	if !strings.HasSuffix(body, ">>") {
		return "", fmt.Errorf("object %d is no dictionary", n)
	}
	return strings.TrimSuffix(body, ">>"), nil
}

// add gives an object a number and returns it.
func (u *update) add(body string) int {
	n := u.next
	u.next++
	u.set(n, body)
	return n
}

func (u *update) set(n int, body string) {
	if _, ok := u.changed[n]; !ok {
		u.order = append(u.order, n)
	}
	u.changed[n] = body
}

// bytes returns the file with the update behind it.
func (u *update) bytes(root, info, start int) []byte {
	var b bytes.Buffer
	b.Write(u.pdf)
	if !bytes.HasSuffix(u.pdf, []byte("\n")) {
		b.WriteByte('\n')
	}
	var table strings.Builder
	for _, n := range u.order {
		fmt.Fprintf(&table, "%d 1\n%010d 00000 n \n", n, b.Len())
		fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", n, u.changed[n])
	}
	at := b.Len()
	fmt.Fprintf(&b, "xref\n%strailer\n<<\n/Size %d\n/Root %d 0 R\n/Info %d 0 R\n/Prev %d\n>>\nstartxref\n%d\n%%%%EOF\n", table.String(), u.next, root, info, start, at)
	return b.Bytes()
}

// finish adds the tree, and asks viewers to show the title and printers to
// keep the size.
func (d *drawing) finish(pdf []byte) ([]byte, error) {
	u, root, info, start, err := readUpdate(pdf)
	if err != nil {
		return nil, err
	}
	kids := kidsForm.FindSubmatch(pdf)
	if kids == nil {
		return nil, fmt.Errorf("the file lists no pages")
	}
	var pages []int
	for _, f := range strings.Split(strings.TrimSuffix(string(kids[1]), " 0 R "), " 0 R ") {
		n, _ := strconv.Atoi(f) // digits by the expression
		pages = append(pages, n)
	}
	tree, err := d.tree(u, pages)
	if err != nil {
		return nil, err
	}
	catalog, err := u.dictionary(root)
	if err != nil {
		return nil, err
	}
	u.set(root, catalog+fmt.Sprintf("/Version /1.7\n/MarkInfo <</Marked true>>\n/StructTreeRoot %d 0 R\n/ViewerPreferences <</DisplayDocTitle true /PrintScaling /None>>\n>>", tree))
	return u.bytes(root, info, start), nil
}

// tree adds the elements and returns the number of their root.
func (d *drawing) tree(u *update, pages []int) (int, error) {
	root := u.add("")
	document := u.add("")
	byPage := make([][]string, len(pages))
	var all []string
	for _, t := range d.tags {
		if t.page < 1 || t.page > len(pages) {
			return 0, fmt.Errorf("a text stands on page %d of %d", t.page, len(pages))
		}
		alt := ""
		if t.alt != "" {
			alt = " /Alt " + hexText(t.alt)
		}
		n := u.add(fmt.Sprintf("<</Type /StructElem /S /%s /P %d 0 R /Pg %d 0 R /K %d%s>>", t.kind, document, pages[t.page-1], t.mark, alt))
		ref := fmt.Sprintf("%d 0 R", n)
		all, byPage[t.page-1] = append(all, ref), append(byPage[t.page-1], ref)
	}
	var parents strings.Builder
	for i, refs := range byPage {
		fmt.Fprintf(&parents, "%d [%s] ", i, strings.Join(refs, " "))
		page, err := u.dictionary(pages[i])
		if err != nil {
			return 0, err
		}
		u.set(pages[i], page+fmt.Sprintf("\n/StructParents %d\n/Tabs /S>>", i))
	}
	u.set(document, fmt.Sprintf("<</Type /StructElem /S /Document /P %d 0 R /K [%s]>>", root, strings.Join(all, " ")))
	u.set(root, fmt.Sprintf("<</Type /StructTreeRoot /K %d 0 R /ParentTree <</Nums [%s]>> /ParentTreeNextKey %d>>", document, parents.String(), len(pages)))
	return root, nil
}

// hexText writes a text string as UTF-16 in hexadecimal (section 7.9.2.2).
func hexText(s string) string {
	var b strings.Builder
	b.WriteString("<FEFF")
	for _, r := range s {
		if r > 0xFFFF {
			r = substitute
		}
		fmt.Fprintf(&b, "%04X", r)
	}
	b.WriteByte('>')
	return b.String()
}
