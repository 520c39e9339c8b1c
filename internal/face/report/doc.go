// Package report puts answers on paper, as drawings that print.
//
// It refuses to know how an answer is computed: it takes plain rows of words and states, and the words are the caller's. A drawing
// is plain SVG without scripts or anything from elsewhere. Start reading at GateChart, then pen.go.
package report
