"""What the air gap costs and what steel and a second carrier bring."""
