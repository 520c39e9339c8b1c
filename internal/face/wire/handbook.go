package wire

// ChapterLine is a chapter in the list of the handbook, which is in the order of reading.
type ChapterLine struct {
	Name  string `json:"name" doc:"as in its address"`
	Title string `json:"title"`
	Under string `json:"under" doc:"the chapter it belongs under; empty for one of its own"`
}

// Chapter is one chapter, ready to be put into the page. Its links to other chapters are '#handbook/NAME' and
// '#handbook/NAME/HEADING', with the two in data-chapter and data-heading; the id of a heading is 'handbook-HEADING'.
type Chapter struct {
	ChapterLine
	HTML     string    `json:"html" doc:"without the title; made from our own Markdown, raw HTML left out. Links to chapters: #handbook/NAME/HEADING, with data-chapter and data-heading; ids of headings: handbook-HEADING"`
	Headings []Heading `json:"headings"`
	Before   string    `json:"before" doc:"name of the chapter before; empty for the first"`
	After    string    `json:"after" doc:"name of the chapter after; empty for the last"`
}

// Heading is a heading of a chapter.
type Heading struct {
	ID    string `json:"id" doc:"of its element: handbook-HEADING"`
	Text  string `json:"text"`
	Level int    `json:"level" doc:"2 for a part of the chapter, 3 for a part of that"`
}
