package trug

import "strings"

// Checklist is the season's accepted names and synonyms, made ready for
// look-ups, together with the names that need care. Build it with
// NewChecklist; it is then read-only and safe for concurrent use.
type Checklist struct {
	taxa       []Taxon
	byID       map[ID]int
	byName     map[string]int
	family     map[string]string // genus -> family
	kingdom    map[string]string // genus or family -> kingdom
	lookAlike  map[string]bool
	protected  map[string]Protection
	protectedG map[string]Protection // by genus
}

// NewChecklist gathers the names, look-alikes and protections of a season.
func NewChecklist(taxa []Taxon, alikes []LookAlike, protections []Protection) *Checklist {
	c := &Checklist{
		taxa: taxa, byID: map[ID]int{}, byName: map[string]int{},
		family: map[string]string{}, kingdom: map[string]string{},
		lookAlike: map[string]bool{}, protected: map[string]Protection{}, protectedG: map[string]Protection{},
	}
	for i, t := range taxa {
		c.byID[t.ID] = i
		c.byName[foldName(t.Name)] = i
		if g := GenusOf(t.Name); t.Rank == Species || t.Rank == Genus {
			if t.Family != "" {
				c.family[g] = t.Family
			}
			c.kingdom[g] = t.Kingdom
		}
		if t.Family != "" {
			c.kingdom[t.Family] = t.Kingdom
		}
	}
	for _, a := range alikes {
		if !a.Removed.IsZero() {
			continue
		}
		c.lookAlike[foldName(c.accepted(a.Name))] = true
		c.lookAlike[foldName(c.accepted(a.TakenFor))] = true
	}
	for _, p := range protections {
		if !p.Removed.IsZero() {
			continue
		}
		name := c.accepted(p.Name)
		add(c.protected, foldName(name), p)
		add(c.protectedG, GenusOf(name), p)
	}
	return c
}

// add puts a protection where another may stand already: the stricter rule holds.
func add(to map[string]Protection, key string, p Protection) {
	if q, ok := to[key]; ok {
		p = q.And(p)
	}
	to[key] = p
}

// Taxa returns every name of the list in the order given.
func (c *Checklist) Taxa() []Taxon { return c.taxa }

// ByID returns the name with the identifier.
func (c *Checklist) ByID(id ID) (Taxon, bool) {
	i, ok := c.byID[id]
	if !ok {
		return Taxon{}, false
	}
	return c.taxa[i], true
}

// ByName returns the name as listed, without regard to capitals and spaces.
func (c *Checklist) ByName(name string) (Taxon, bool) {
	i, ok := c.byName[foldName(name)]
	if !ok {
		return Taxon{}, false
	}
	return c.taxa[i], true
}

// Accepted returns the accepted taxon behind a name: the name itself, or the
// one that it is a synonym of.
func (c *Checklist) Accepted(name string) (Taxon, bool) {
	t, ok := c.ByName(name)
	if ok && t.AcceptedID != "" {
		return c.ByID(t.AcceptedID)
	}
	return t, ok
}

// accepted returns the accepted name behind name, name itself when it is not listed.
func (c *Checklist) accepted(name string) string {
	if t, ok := c.Accepted(name); ok {
		return t.Name
	}
	return name
}

// NeedsTwo reports whether a find that bears the name may leave the table
// only with two independent opinions: the name is on the list of look-alikes,
// or its localities are protected.
func (c *Checklist) NeedsTwo(name string) bool {
	if name == "" {
		return false
	}
	key := foldName(c.accepted(name))
	_, protected := c.protected[key]
	return protected || c.lookAlike[key]
}

// OnLookAlikes reports whether the name stands on the list of look-alikes.
func (c *Checklist) OnLookAlikes(name string) bool {
	return name != "" && c.lookAlike[foldName(c.accepted(name))]
}

// Protects returns the protection that covers a name: its own, or for the
// bare genus of a protected species that species', since a find left at genus
// would give the same place away.
func (c *Checklist) Protects(name string) (Protection, bool) {
	if strings.TrimSpace(name) == "" {
		return Protection{}, false
	}
	name = c.accepted(strings.TrimSpace(name))
	if p, ok := c.protected[foldName(name)]; ok {
		return p, true
	}
	if !strings.Contains(withoutSigns(name), " ") {
		p, ok := c.protectedG[GenusOf(name)]
		return p, ok
	}
	return Protection{}, false
}

// Covers reports whether a protection covers a name: its own by any synonym,
// or the bare genus.
func (c *Checklist) Covers(p Protection, name string) bool {
	if strings.TrimSpace(name) == "" {
		return false
	}
	name, own := c.accepted(strings.TrimSpace(name)), c.accepted(p.Name)
	return foldName(name) == foldName(own) || !strings.Contains(withoutSigns(name), " ") && GenusOf(name) == GenusOf(own)
}

// lineage returns the name and what stands above it, lowest first: species,
// genus, family, kingdom, as far as the list knows them.
func (c *Checklist) lineage(name string, rank Rank) []Taxon {
	var line []Taxon
	if rank == Species {
		t, ok := c.Accepted(name)
		if !ok {
			t = Taxon{Name: name, Rank: Species}
		}
		line = append(line, t)
		name = t.Name
	}
	genus, family := GenusOf(name), ""
	switch rank {
	case Species, Genus:
		t, ok := c.ByName(genus)
		if !ok {
			t = Taxon{Name: genus, Rank: Genus}
		}
		family = c.family[genus]
		t.Family, t.Kingdom = family, c.kingdom[genus]
		line = append(line, t)
	case Family:
		family, genus = name, name
	case Kingdom:
		return append(line, Taxon{Name: name, Rank: Kingdom, Kingdom: name})
	}
	if family != "" {
		line = append(line, Taxon{Name: family, Rank: Family, Family: family, Kingdom: c.kingdom[family]})
	}
	if k := c.kingdom[genus]; k != "" {
		line = append(line, Taxon{Name: k, Rank: Kingdom, Kingdom: k})
	}
	for i := range line {
		if line[i].Kingdom == "" {
			line[i].Kingdom = c.kingdom[genus]
		}
	}
	return line
}

// GenusOf returns the first word of a scientific name.
func GenusOf(name string) string {
	genus, _, _ := strings.Cut(strings.TrimSpace(name), " ")
	return genus
}

// withoutSigns drops the signs of open nomenclature that stand behind a bare genus.
func withoutSigns(name string) string {
	for _, sign := range []string{" sp.", " spp.", " indet.", " stet."} {
		name = strings.TrimSuffix(name, sign)
	}
	return name
}

func foldName(name string) string { return strings.ToLower(strings.Join(strings.Fields(name), " ")) }
