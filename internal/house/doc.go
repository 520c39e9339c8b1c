// Package house holds no code, only the tests that keep the walls of the project where they stand: which package
// may import which, that every package says what it is for, and that nothing of one machine slips into the tree.
// Start reading at rank_test.go.
package house
