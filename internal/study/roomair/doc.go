// Package roomair computes what dust stays in the air of the room, what the person breathes, and what helps most: the
// command `air`.
//
// Absolute levels are good to a factor of five at best, so answers lead with ratios between options, in which most of
// the doubt cancels; a level is only ever said with its range, and a limit only as likely below, cannot say or likely
// above. It never shows compliance.
//
// It refuses to know text, circuits and how airflow comes about: a filled shop and the airflow of its ports come in.
// Start reading at Study; the balance itself is Room.Run in zones.go.
package roomair
