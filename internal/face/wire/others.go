package wire

// Others says whether other devices can come in, and how.
type Others struct {
	Open       bool   `json:"open" doc:"other devices in this network can come in"`
	Address    string `json:"address" doc:"what a phone's camera is shown; empty where none can come in"`
	Passphrase bool   `json:"passphrase" doc:"one is set"`
	Here       bool   `json:"here" doc:"this is the computer itself: it may set the passphrase and let others in"`
	CanOpen    bool   `json:"can_open" doc:"it can be opened from the page, without starting anew"`
	Moved      bool   `json:"moved" doc:"it was open, and was shut as this computer is in another network now: ask before opening it there"`
	Clear      bool   `json:"in_clear" doc:"what crosses the network can be read there: the program was started without a certificate"`
}

// LetIn lets other devices in, from the computer itself.
type LetIn struct {
	Passphrase string `json:"passphrase,omitempty" maxLength:"1000" doc:"a new one; every other device is asked for it anew. May be left out where one is set"`
}
