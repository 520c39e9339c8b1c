package netcase

import "winnow/internal/physics/network"

// MiddleDuct is the link whose loss coefficient the warm timing changes: with n open links, the open duct number n/2 counted from 0,
// else the last duct. The timing peer, which lists ducts before all other links, picks the same.
func MiddleDuct(c Case) int {
	open, ducts := 0, []int(nil)
	for i, l := range c.Network.Links {
		if l.Law.Kind != network.Shut {
			open++
		}
		if l.Law.Kind == network.Duct {
			ducts = append(ducts, i)
		}
	}
	return ducts[min(open/2, len(ducts)-1)]
}

// MiddleGate is the link that the toggle timing shuts and opens: of the links with a loss and nothing else, or if none lies off the
// fan's line a duct, the middle one.
func MiddleGate(c Case) int {
	var gates, ducts []int
	for i, l := range c.Network.Links {
		law := c.Open[i]
		switch {
		case law.Kind == network.Loss && (l.Law.Kind == network.Shut || c.LinkIDs[i] != "separator"):
			gates = append(gates, i)
		case law.Kind == network.Duct && l.Law.Kind == network.Shut:
			gates = append(gates, i)
		case law.Kind == network.Duct:
			ducts = append(ducts, i)
		}
	}
	if len(gates) > 0 {
		return gates[len(gates)/2]
	}
	return ducts[len(ducts)/2]
}
