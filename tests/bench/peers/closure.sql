CREATE TEMP TABLE reach AS
  WITH RECURSIVE t(x,y) AS (SELECT "from","to" FROM edge
    UNION SELECT t.x,e."to" FROM t CROSS JOIN edge e ON e."from"=t.y)
  SELECT * FROM t;
