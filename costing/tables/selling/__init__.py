"""What must a tub sell for? Tubs, products, channels, prices, overheads, and what stands around the price."""
