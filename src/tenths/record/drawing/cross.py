class Cross:
    up=0.0
    def __init__(self,*a): pass
