package typical

// Source says where a usual value comes from and how far to trust that.
type Source struct {
	ID    string // S-120
	Basis string // published, from memory, common practice, judgement, arithmetic
	Cite  string
}

// String is what an Amount carries as its source.
func (s Source) String() string { return s.ID + ", " + s.Basis + ": " + s.Cite }

// Sources lists them in the order of their ids.
func Sources() []Source { return tables().sourceList }

// SourceOf finds a source by its id.
func SourceOf(id string) (Source, bool) {
	s, ok := tables().sources[id]
	return s, ok
}

func (b *book) readSources() {
	b.sources = map[string]Source{}
	for _, e := range entries("sources.txt") {
		for _, l := range e.lines {
			s := Source{ID: l.key, Basis: l.col(0), Cite: l.col(1)}
			if s.Cite == "" {
				e.bad(l.no, "a source needs its trust and its citation")
			}
			if _, twice := b.sources[s.ID]; twice {
				e.bad(l.no, "%s is there twice", s.ID)
			}
			b.sources[s.ID] = s
			b.sourceList = append(b.sourceList, s)
		}
	}
}
