// Package desk is the shop file lying open: its revisions, undo and redo, saving that never leaves half a file, changes
// made by somebody else meanwhile, and the revision in service.
//
// It refuses to know HTTP, commands and every study. The disk is the truth: whatever stands in the file is a revision,
// whoever wrote it. Start reading at Open, then Desk.Commit, then save.go for the order in which things reach the disk.
//
// # The folder beside the file
//
//	shop.winnow/history.jsonl     one line a revision, appended; the first line names the format and its version
//	shop.winnow/texts/            the whole text of each revision, named by its hash; identical texts are stored once
//	shop.winnow/in-service.json   the revision the controller obeys, with its text beside it in in-service.yaml
//	shop.winnow/drafts/           texts that could not become a revision: with faults, or in conflict
//	shop.winnow/lock              held while a revision is made, so that several programs may have the file open
//
// Everything in it can be read with an editor, and losing it loses only history: a damaged folder never keeps the shop
// file from opening. A file reached by a symbolic link is saved where the link points, and its folder lies there.
package desk
