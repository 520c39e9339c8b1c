package typical

import "testing"

func TestTablesRead(t *testing.T) {
	b := tables()
	if len(b.machines.list) < 30 {
		t.Fatalf("only %d machines", len(b.machines.list))
	}
}
