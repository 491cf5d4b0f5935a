"""What does a gram cost? Recipe cards, and lye against oils."""
